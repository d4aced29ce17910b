/** Drawing by hand: choose a shape, press where it belongs, pull its points; or type the numbers. */
import { useRef, useState } from "preact/hooks";
import type { Point, Shape } from "../../rules/drawing.ts";
import { handlesOf, kindOf, newShape, pulled, SHAPE_KINDS, type ShapeKind } from "../../rules/drawingEdit.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { movedBy, replacedAt, withoutAt } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { Drawn } from "../parts/StepDrawing.tsx";
import { ShapeForm } from "./ShapeForm.tsx";
import { shapeName } from "./shapeName.ts";

type Props = {
  readonly procedure: Procedure;
  readonly width: number;
  readonly height: number;
  /** What stands below and is not changed here. */
  readonly below: readonly Shape[];
  readonly shapes: readonly Shape[];
  readonly onChange: (shapes: readonly Shape[]) => void;
  /** Whether a shape may belong to the way in or the way back alone. */
  readonly waysApart: boolean;
};

export function Sketch({ procedure, width, height, below, shapes, onChange, waysApart }: Props) {
  const paper = useRef<SVGSVGElement>(null);
  const [chosen, setChosen] = useState<number | null>(null);
  const [adding, setAdding] = useState<ShapeKind | null>(null);
  /** The shape with a point in the hand; it is written when the hand lets go. */
  const [pulling, setPulling] = useState<{ readonly handle: number; readonly shape: Shape } | null>(null);
  const shown = pulling !== null && chosen !== null ? replacedAt(shapes, chosen, pulling.shape) : shapes;
  const held = chosen === null ? undefined : shown[chosen];

  const at = (event: PointerEvent): Point => {
    // The drawing keeps its shape within the paper, so the paper's own sides say nothing about a place.
    const toScreen = paper.current?.getScreenCTM();
    if (toScreen == null) return [0, 0];
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(toScreen.inverse());
    const within = (place: number, units: number): number => Math.min(units, Math.max(0, Math.round(place)));
    return [within(x, width), within(y, height)];
  };
  const press = (event: PointerEvent): void => {
    if (adding === null) return;
    const first = { group: procedure.fasteners[0]?.id ?? "", connector: procedure.connectors[0]?.id ?? "" };
    onChange([...shapes, newShape(adding, at(event), first)]);
    setChosen(shapes.length);
    setAdding(null);
  };
  const grasp = (event: PointerEvent, handle: number): void => {
    if (held === undefined) return;
    event.stopPropagation();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    setPulling({ handle, shape: held });
  };
  const pull = (event: PointerEvent): void => {
    if (pulling !== null) setPulling({ ...pulling, shape: pulled(pulling.shape, pulling.handle, at(event)) });
  };
  const letGo = (): void => {
    if (pulling !== null && chosen !== null) onChange(replacedAt(shapes, chosen, pulling.shape));
    setPulling(null);
  };
  return (
    <div class="proc-sketch">
      <fieldset class="field">
        <legend>Add a shape</legend>
        <div class="row">
          {SHAPE_KINDS.map(({ value, name }) => (
            <button
              key={value}
              type="button"
              class="button"
              aria-pressed={adding === value}
              onClick={() => setAdding(adding === value ? null : value)}
            >
              {name}
            </button>
          ))}
        </div>
        <span class="hint" role="status">
          {adding === null ? "Choose one, then press in the drawing where it belongs." : "Now press in the drawing."}
        </span>
      </fieldset>
      <svg
        ref={paper}
        class={adding === null ? "proc-paper" : "proc-paper adding"}
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label="The drawing"
        onPointerDown={press}
      >
        {below.map((shape, place) => (
          <g key={place} opacity={0.55}>
            <Drawn shape={shape} procedure={procedure} />
          </g>
        ))}
        {shown.map((shape, place) => (
          <g key={place} onPointerDown={() => adding === null && setChosen(place)}>
            <Drawn shape={shape} procedure={procedure} />
          </g>
        ))}
        {held !== undefined &&
          handlesOf(held).map(([x, y], handle) => (
            <circle
              key={handle}
              class="proc-handle"
              cx={x}
              cy={y}
              r={9}
              onPointerDown={(event) => grasp(event, handle)}
              onPointerMove={pull}
              onPointerUp={letGo}
              onPointerCancel={letGo}
            />
          ))}
      </svg>
      <ol class="proc-shapes" aria-label="Shapes, the first lies lowest">
        {shapes.map((shape, place) => (
          <li key={place}>
            <button
              type="button"
              class="proc-item"
              aria-current={place === chosen ? "true" : undefined}
              onClick={() => setChosen(place)}
            >
              {shapeName(shape, procedure)}
            </button>
          </li>
        ))}
      </ol>
      {held !== undefined && chosen !== null && (
        <section class="proc-shape stack" aria-label={`Shape ${chosen + 1}`}>
          <ShapeForm
            key={`${chosen} ${kindOf(held)}`}
            shape={held}
            procedure={procedure}
            onChange={(shape) => onChange(replacedAt(shapes, chosen, shape))}
            waysApart={waysApart}
          />
          <div class="row">
            <Button
              onPress={() => {
                onChange(movedBy(shapes, chosen, -1));
                setChosen(Math.max(0, chosen - 1));
              }}
              disabled={chosen === 0}
            >
              Lower
            </Button>
            <Button
              onPress={() => {
                onChange(movedBy(shapes, chosen, 1));
                setChosen(Math.min(shapes.length - 1, chosen + 1));
              }}
              disabled={chosen === shapes.length - 1}
            >
              Higher
            </Button>
            <Button
              onPress={() => {
                onChange(withoutAt(shapes, chosen));
                setChosen(null);
              }}
              tone="plain"
            >
              Take the shape away
            </Button>
          </div>
        </section>
      )}
    </div>
  );
}
