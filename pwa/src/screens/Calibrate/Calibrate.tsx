/** True size: a bank card is laid on the screen, and the drawn one made to fit. Once for each station. */
import "../../style/calibrate.css";
import { useEffect, useRef, useState } from "preact/hooks";
import {
  CARD_LONG_MM,
  CARD_SHORT_MM,
  CSS_PX_PER_MM,
  calibration,
  keepCalibration,
  LEAST_PX_PER_MM,
  loadCalibration,
  MOST_PX_PER_MM,
} from "../../actions/calibrate.ts";
import { ok } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";

/** Half a pixel on the short edge: finer than an eye sets a card down. */
const FINE_PX = 0.5;
const COARSE_PX = 8;

export function Calibrate() {
  const [pxPerMm, setPxPerMm] = useState(() => calibration.value?.px_per_mm ?? CSS_PX_PER_MM);
  const [saved, setSaved] = useState(false);
  const { problem, run } = useAct();
  useEffect(() => {
    void run(
      async () => ok(await loadCalibration()),
      () => calibration.value !== null && setPxPerMm(calibration.value.px_per_mm),
    );
  }, []);
  const set = (value: number): void => {
    setSaved(false);
    setPxPerMm(Math.min(MOST_PX_PER_MM, Math.max(LEAST_PX_PER_MM, value)));
  };
  const widen = (px: number): void => set(pxPerMm + px / CARD_SHORT_MM);
  const save = () =>
    run(
      async () => ok(await keepCalibration(pxPerMm)),
      () => setSaved(true),
    );
  return (
    <>
      <Page title="Lay a bank card on the drawing" above="True size on this screen">
        <p>
          Card upright, its left edge on the left line. Drag the right edge, or press, until both edges fit. Set the
          zoom of the browser before, not after.
        </p>
        <Card pxPerMm={pxPerMm} onDrag={(px) => set(px / CARD_SHORT_MM)} />
        <div class="calibrate-fit">
          <Step label="Much narrower" sign="−−" onPress={() => widen(-COARSE_PX)} />
          <Step label="Narrower" sign="−" onPress={() => widen(-FINE_PX)} />
          <Step label="Wider" sign="+" onPress={() => widen(FINE_PX)} />
          <Step label="Much wider" sign="++" onPress={() => widen(COARSE_PX)} />
        </div>
        <p class="soft small">
          A bank card is {CARD_LONG_MM.toFixed(2)} by {CARD_SHORT_MM} mm (ISO/IEC 7810, ID-1). Now: {pxPerMm.toFixed(3)}{" "}
          pixels a millimetre.
        </p>
        {problem !== null && <Refusal problem={problem} />}
        {saved && (
          <p class="mark good" role="status">
            <Shape name="done" />
            Kept for this station. Screws are shown at true size.
          </p>
        )}
      </Page>
      <Dock>
        {saved ? (
          <Button onPress={() => history.back()} tone="main">
            Back to the work
          </Button>
        ) : (
          <Button onPress={save} tone="main">
            The card fits
          </Button>
        )}
      </Dock>
    </>
  );
}

type CardProps = { readonly pxPerMm: number; readonly onDrag: (shortPx: number) => void };

/** The card upright. Where it is too long for the screen its lower end is left out: the width alone decides. */
function Card({ pxPerMm, onDrag }: CardProps) {
  const drawing = useRef<SVGSVGElement>(null);
  const [width, height] = [CARD_SHORT_MM * pxPerMm, CARD_LONG_MM * pxPerMm];
  const drag = (event: PointerEvent): void => {
    const left = drawing.current?.getBoundingClientRect().left;
    if (left !== undefined && event.buttons === 1) onDrag(event.clientX - left);
  };
  return (
    <div class="calibrate-card">
      <svg
        ref={drawing}
        width={width + 24}
        height={height + 4}
        viewBox={`0 0 ${width + 24} ${height + 4}`}
        role="img"
        aria-label="A bank card, drawn upright"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          drag(event);
        }}
        onPointerMove={drag}
      >
        <rect class="calibrate-face" width={width} height={height} rx={3.18 * pxPerMm} />
        <path class="calibrate-edge" d={`M1 0v${height}M${width - 1} 0v${height}`} />
        <circle class="calibrate-grip" cx={width} cy={Math.min(height / 2, 150)} r={22} />
        <path
          class="calibrate-arrows"
          d={`M${width - 6} ${Math.min(height / 2, 150) - 6}l-6 6 6 6M${width + 6} ${Math.min(height / 2, 150) - 6}l6 6-6 6`}
        />
      </svg>
    </div>
  );
}

function Step({
  label,
  sign,
  onPress,
}: {
  readonly label: string;
  readonly sign: string;
  readonly onPress: () => void;
}) {
  return (
    <button type="button" class="button" aria-label={label} onClick={onPress}>
      {sign}
    </button>
  );
}
