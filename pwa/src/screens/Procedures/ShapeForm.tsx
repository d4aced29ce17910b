/** One shape by its numbers and words. */
import type { Shape, Side, Surface } from "../../rules/drawing.ts";
import { handlesOf, pulled, withPoints } from "../../rules/drawingEdit.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { replacedAt } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { Select, TextField } from "../../ui/fields.tsx";
import { NumberField } from "../../ui/typedFields.tsx";

type Props = {
  readonly shape: Shape;
  readonly procedure: Procedure;
  readonly onChange: (shape: Shape) => void;
  readonly waysApart: boolean;
};

const options = <T extends string>(names: Readonly<Record<T, string>>): readonly { value: T; name: string }[] =>
  Object.entries(names).map(([value, name]) => ({ value: value as T, name: name as string }));

const SURFACES = options<Surface>({
  frame: "Frame",
  glass: "Glass",
  board: "Board",
  battery: "Battery",
  plate: "Plate",
  part: "Part of this step",
  mat: "Mat",
  tool: "Tool",
});
const LINES = options({ cable: "Cable", seal: "Seal", warm: "Warm here", limit: "Not past here", edge: "Edge" });
const SIDES = options<Side>({ left: "Left", right: "Right", above: "Above", below: "Below" });
const ALIGNS = options({ start: "Begins here", middle: "Middle is here", end: "Ends here" });
const WAYS = options({ in: "On the way in only", back: "On the way back only" });

export function ShapeForm({ shape, procedure, onChange, waysApart }: Props) {
  return (
    <>
      <div class="proc-three">
        <Numbers shape={shape} onChange={onChange} />
        {("rect" in shape || "circle" in shape) && (
          <>
            <Select
              label="It is"
              options={SURFACES}
              value={shape.as}
              onChoose={(as) => as !== null && onChange({ ...shape, as })}
            />
            <TextField
              label="Words on it"
              value={shape.say ?? ""}
              onInput={(say) => onChange(say === "" ? withoutSay(shape) : { ...shape, say })}
              maxLength={40}
            />
          </>
        )}
        {"line" in shape && (
          <Select
            label="It is"
            options={LINES}
            value={shape.as}
            onChoose={(as) => as !== null && onChange({ ...shape, as })}
          />
        )}
        {"spot" in shape && (
          <Select
            label="Fasteners"
            options={procedure.fasteners.map((f) => ({ value: f.id, name: `${f.name}, pocket ${f.pocket}` }))}
            value={shape.group}
            onChoose={(group) => onChange({ ...shape, group: group ?? "" })}
          />
        )}
        {"plug" in shape && (
          <>
            <Select
              label="Connector"
              options={procedure.connectors.map((c) => ({ value: c.id, name: c.name }))}
              value={shape.connector}
              onChoose={(connector) => onChange({ ...shape, connector: connector ?? "" })}
            />
            <Select
              label="Its name stands"
              options={SIDES}
              value={shape.side}
              onChoose={(side) => side !== null && onChange({ ...shape, side })}
            />
            <TextField
              label="Other words than its name"
              value={shape.say ?? ""}
              onInput={(say) => onChange(say === "" ? withoutSay(shape) : { ...shape, say })}
              maxLength={40}
            />
          </>
        )}
        {"text" in shape && (
          <>
            <TextField label="Words" value={shape.say} onInput={(say) => onChange({ ...shape, say })} maxLength={40} />
            <Select
              label="Point"
              options={ALIGNS}
              value={shape.align ?? "start"}
              onChoose={(align) => onChange({ ...shape, align: align ?? "start" })}
            />
          </>
        )}
        {waysApart && (
          <Select
            label="Shown"
            options={WAYS}
            value={shape.only ?? null}
            onChoose={(only) => onChange(only === null ? always(shape) : { ...shape, only })}
            none="Both ways"
          />
        )}
      </div>
      {"line" in shape && (
        <div class="row">
          <Button onPress={() => onChange(withPoints(shape, 1))}>One point more</Button>
          <Button onPress={() => onChange(withPoints(shape, -1))} disabled={shape.line.length <= 2}>
            One point fewer
          </Button>
        </div>
      )}
    </>
  );
}

type NumberProps = { readonly shape: Shape; readonly onChange: (shape: Shape) => void };

/** Sizes by name where a shape has some, else the numbers of each of its points. */
function Numbers({ shape, onChange }: NumberProps) {
  if ("rect" in shape) {
    const set = (rect: readonly number[]): void => onChange({ ...shape, rect: rect as unknown as typeof shape.rect });
    return <Named names={["Left", "Top", "Width", "Height", "Round corners"]} values={shape.rect} onChange={set} />;
  }
  if ("circle" in shape) {
    const set = (circle: readonly number[]): void =>
      onChange({ ...shape, circle: circle as unknown as typeof shape.circle });
    return <Named names={["Across", "Down", "Radius"]} values={shape.circle} onChange={set} />;
  }
  if ("arc" in shape) {
    const set = (arc: readonly number[]): void => onChange({ ...shape, arc: arc as unknown as typeof shape.arc });
    return (
      <Named names={["Across", "Down", "Radius", "From degrees", "To degrees"]} values={shape.arc} onChange={set} />
    );
  }
  const points = handlesOf(shape);
  return (
    <>
      {points.map(([x, y], handle) => {
        const of = points.length === 1 ? "" : ` ${handle + 1}`;
        return (
          <Named
            key={handle}
            names={[`Across${of}`, `Down${of}`]}
            values={[x, y]}
            onChange={([nx = 0, ny = 0]) => onChange(pulled(shape, handle, [nx, ny]))}
          />
        );
      })}
    </>
  );
}

type NamedProps = {
  readonly names: readonly string[];
  readonly values: readonly number[];
  readonly onChange: (values: readonly number[]) => void;
};

/** A number that is no number yet is not taken over. */
function Named({ names, values, onChange }: NamedProps) {
  return (
    <>
      {names.map((name, at) => (
        <NumberField
          key={name}
          label={name}
          value={values[at]}
          onChange={(value) => value !== undefined && onChange(replacedAt(values, at, value))}
        />
      ))}
    </>
  );
}

function withoutSay(shape: Shape): Shape {
  if (!("say" in shape)) return shape;
  const { say: _, ...rest } = shape;
  return rest as Shape;
}
const always = ({ only: _, ...shape }: Shape): Shape => shape as Shape;
