/** Drawing one mark: press the place or choose a zone, adjust it with buttons, say what it is. Nothing needs dragging. */
import { useState } from "preact/hooks";
import { markPhoto } from "../../../actions/photo.ts";
import { useAct } from "../../../ui/act.ts";
import { Button, Dock } from "../../../ui/Dock.tsx";
import { Choice, TextField } from "../../../ui/fields.tsx";
import { Refusal } from "../../../ui/Notice.tsx";
import { Page } from "../../../ui/Page.tsx";
import {
  type Drawing,
  drawAt,
  type FoundPhoto,
  fieldsOf,
  marksOf,
  type Nudge,
  nudged,
} from "../../../views/photoMarks.ts";
import { groupCode } from "../../../words/format.ts";
import { zonesOf } from "../../../words/marks.ts";
import { MarkedPhoto } from "./MarkedPhoto.tsx";

type Props = { readonly found: FoundPhoto; readonly hash: string; readonly onDone: () => void };

const SHAPES = [
  { value: "circle", name: "Circle" },
  { value: "arrow", name: "Arrow" },
] as const;
const NUDGES: readonly (readonly [Nudge, string])[] = [
  ["left", "Left"],
  ["right", "Right"],
  ["up", "Up"],
  ["down", "Down"],
  ["larger", "Larger"],
  ["smaller", "Smaller"],
];

export function DrawMark({ found, hash, onDone }: Props) {
  const [shape, setShape] = useState<Drawing["shape"]>("circle");
  const [drawing, setDrawing] = useState<Drawing | null>(null);
  const [note, setNote] = useState("");
  const { problem, run } = useAct();
  const size = found.photo ?? { width: 4, height: 3 };
  const marks = marksOf(found.job, hash);
  const shown = drawing === null ? marks : [...marks, { ...fieldsOf(drawing, size), number: marks.length + 1 }];
  const place = (x_pm: number, y_pm: number): void => setDrawing(drawAt(shape, x_pm, y_pm));
  const keep = () => {
    const said = note.trim() === "" ? {} : { note: note.trim() };
    return drawing !== null && run(() => markPhoto(found.code, hash, { ...fieldsOf(drawing, size), ...said }), onDone);
  };
  return (
    <>
      <Page
        title={drawing === null ? "Press the place" : "Is it there?"}
        above={`${found.job.model}, job ${groupCode(found.code)}`}
        wide
      >
        <MarkedPhoto hash={hash} alt="What is marked" size={found.photo} marks={shown} onPlace={place} />
        <Choice
          label="Shape"
          options={SHAPES}
          value={shape}
          onChoose={(chosen) => {
            setShape(chosen);
            if (drawing !== null) setDrawing({ ...drawing, shape: chosen });
          }}
          across
        />
        {drawing === null ? <Zones onPlace={place} /> : <Adjust drawing={drawing} onChange={setDrawing} />}
        <TextField
          label="What is it?"
          value={note}
          onInput={setNote}
          hint="If it helps. No names or numbers of the customer."
        />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={onDone} tone="aside">
          Leave it
        </Button>
        <Button onPress={keep} tone="main" disabled={drawing === null}>
          Keep the mark
        </Button>
      </Dock>
    </>
  );
}

function Adjust({ drawing, onChange }: { readonly drawing: Drawing; readonly onChange: (d: Drawing) => void }) {
  const nudges = drawing.shape === "arrow" ? [...NUDGES, ["turn", "Turn"] as const] : NUDGES;
  return (
    <fieldset class="field">
      <legend>Adjust it</legend>
      <div class="photo-nudges">
        {nudges.map(([nudge, name]) => (
          <Button key={nudge} onPress={() => onChange(nudged(drawing, nudge))}>
            {name}
          </Button>
        ))}
      </div>
    </fieldset>
  );
}

function Zones({ onPlace }: { readonly onPlace: (x_pm: number, y_pm: number) => void }) {
  return (
    <fieldset class="field">
      <legend>Or choose where</legend>
      <div class="photo-nudges">
        {zonesOf("front").map((zone) => (
          <Button key={zone.name} onPress={() => onPlace(zone.x_pm, zone.y_pm)}>
            {zone.name.replace(/^./, (c) => c.toUpperCase())}
          </Button>
        ))}
      </div>
    </fieldset>
  );
}
