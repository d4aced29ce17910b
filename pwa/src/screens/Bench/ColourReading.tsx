/** Reading the indicator's colour from its photo: two discs, an advice, and the record of it. The gate stays the person's. */
import "../../style/colour.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { type Decoded, keepReading, photoPixels } from "../../actions/colour.ts";
import type { Job } from "../../fold/state.ts";
import { type Disc, discPixels, readIndicator } from "../../rules/colour.ts";
import { type DiscName, type Discs, FIRST_DISCS, nudged, resized } from "../../rules/discs.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { discsOf, isKept, lastReading } from "../../views/colour.ts";
import { ColourAdvice, ColourLine } from "../parts/ColourAdvice.tsx";
import { DISC_NAMES, DiscPhoto } from "./DiscPhoto.tsx";

type Props = { readonly code: string; readonly job: Job; readonly photo: string };

/** Closed until asked for: most indicators are plain to see. */
export function ColourReading(props: Props) {
  const [pixels, setPixels] = useState<Decoded | null>(null);
  const { problem, run } = useAct();
  const open = () => run(() => photoPixels(props.photo), setPixels);
  if (pixels !== null) return <Marking {...props} pixels={pixels} onClose={() => setPixels(null)} />;
  return (
    <>
      <Button onPress={open}>Read its colour from this photo</Button>
      {problem !== null && <Refusal problem={problem} />}
    </>
  );
}

const ZOOMS = [1, 2, 4] as const;
/** A step of the buttons on the whole photo; nearer it is finer. */
const STEP_PM = 16;

function Marking({
  code,
  job,
  photo,
  pixels,
  onClose,
}: Props & { readonly pixels: Decoded; readonly onClose: () => void }) {
  const kept = lastReading(job, photo);
  const [discs, setDiscs] = useState<Discs>(() => (kept === undefined ? FIRST_DISCS : discsOf(kept)));
  /** The discs as last left; a reading while they move would only flicker. */
  const [settled, setSettled] = useState(discs);
  const [chosen, setChosen] = useState<DiscName>("indicator");
  const [zoom, setZoom] = useState<(typeof ZOOMS)[number]>(1);
  const [middle, setMiddle] = useState<{ readonly x_pm: number; readonly y_pm: number }>(discs.indicator);
  const { problem, run } = useAct();
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.scrollIntoView({ block: "start" });
    heading.current?.focus({ preventScroll: true });
  }, []);
  const reading = useMemo(
    () => readIndicator(discPixels(pixels, settled.indicator), discPixels(pixels, settled.reference)),
    [pixels, settled],
  );
  const place = (name: DiscName, disc: Disc, isSettled: boolean): void => {
    const next = { ...discs, [name]: disc };
    setDiscs(next);
    if (isSettled) setSettled(next);
  };
  const step = (across: -1 | 0 | 1, down: -1 | 0 | 1): void => {
    const disc = nudged(discs[chosen], pixels, across, down, STEP_PM / zoom);
    place(chosen, disc, true);
    setMiddle(disc);
  };
  const size = (larger: boolean): void => place(chosen, resized(discs[chosen], larger), true);
  const choose = (name: DiscName): void => {
    setChosen(name);
    setMiddle(discs[name]);
  };
  const closer = (): void => {
    setZoom(ZOOMS[(ZOOMS.indexOf(zoom) + 1) % ZOOMS.length] ?? 1);
    setMiddle(discs[chosen]);
  };
  const keep = () => run(() => keepReading(code, photo, settled, reading));
  return (
    <section class="stack colour" aria-labelledby="colour-name">
      <h2 id="colour-name" ref={heading} tabIndex={-1}>
        Colour of the indicator
      </h2>
      <p>
        One disc on the most coloured place of the indicator, one on something white under the same light, such as
        paper.
      </p>
      <Choice
        label="Disc to place"
        options={(["indicator", "reference"] as const).map((value) => ({ value, name: DISC_NAMES[value] }))}
        value={chosen}
        onChoose={choose}
        across
      />
      <DiscPhoto
        picture={pixels.picture}
        width={pixels.width}
        height={pixels.height}
        discs={discs}
        chosen={chosen}
        zoom={zoom}
        middle={middle}
        onChoose={setChosen}
        onPlace={place}
      />
      <ColourLine reading={reading} />
      <fieldset class="colour-pad" aria-label={`Move and size: ${DISC_NAMES[chosen]}`}>
        <Button onPress={() => size(false)}>Smaller</Button>
        <Button onPress={() => step(0, -1)}>Up</Button>
        <Button onPress={() => size(true)}>Larger</Button>
        <Button onPress={() => step(-1, 0)}>Left</Button>
        <Button onPress={() => step(0, 1)}>Down</Button>
        <Button onPress={() => step(1, 0)}>Right</Button>
      </fieldset>
      <Button onPress={closer}>{zoom === 4 ? "Whole photo" : "Closer"}</Button>
      <ColourAdvice reading={reading} />
      {isKept(kept, settled) ? (
        <p class="mark good" role="status">
          <Shape name="done" />
          This reading is on the record
        </p>
      ) : (
        <Button onPress={keep}>Put this reading on the record</Button>
      )}
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={onClose} tone="plain">
        Close the colour reading
      </Button>
    </section>
  );
}
