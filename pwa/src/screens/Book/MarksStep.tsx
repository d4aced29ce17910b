/** The condition survey: a press on the drawing, or a zone, makes a mark; then what it is. */
import { useState } from "preact/hooks";
import { BEFORE_JOB, newMark } from "../../actions/book.ts";
import { keepPhoto } from "../../device/photo.ts";
import type { Side } from "../../events/kinds.gen.ts";
import type { DraftMark, DraftPhoto } from "../../facts/booking.ts";
import { useAct } from "../../ui/act.ts";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { upper } from "../../words/format.ts";
import { zoneName, zonesOf } from "../../words/marks.ts";
import { choicesOf, valueWord } from "../../words/values.ts";
import { Outline } from "../parts/Outline.tsx";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import type { StepProps } from "./step.ts";

const MOST_PHOTOS = 8;

export function MarksStep(props: StepProps) {
  const { booking, change } = props;
  const editing = booking.marks.find((m) => m.id === booking.editing);
  if (editing !== undefined) return <OneMark {...props} mark={editing} />;
  const place = (x_pm: number, y_pm: number): void => {
    const mark = newMark(booking.side, x_pm, y_pm);
    change({ marks: [...booking.marks, mark], editing: mark.id });
  };
  const spots = booking.marks.flatMap((m, i) => (m.side === booking.side ? [{ ...m, number: i + 1 }] : []));
  return (
    <>
      <div class="book-sides">
        <Choice
          label="Press where there is a mark"
          options={choicesOf("side")}
          value={booking.side}
          onChoose={(side) => change({ side })}
          across
        />
      </div>
      <Outline side={booking.side} spots={spots} onPlace={place} />
      <Zones side={booking.side} onPlace={place} />
      <List marks={booking.marks} onOpen={(id) => change({ editing: id })} />
      <Whole {...props} />
    </>
  );
}

/** The same without precision: a zone by name. */
function Zones({ side, onPlace }: { readonly side: Side; readonly onPlace: (x_pm: number, y_pm: number) => void }) {
  const [open, setOpen] = useState(false);
  return (
    <div class="stack">
      <button type="button" class="button plain" aria-expanded={open} onClick={() => setOpen(!open)}>
        Choose a zone instead
      </button>
      {open && (
        <div class="book-zones">
          {zonesOf(side).map((zone) => (
            <button
              type="button"
              class="button"
              key={zone.name}
              onClick={() => {
                setOpen(false);
                onPlace(zone.x_pm, zone.y_pm);
              }}
            >
              {zone.name.replace(/^./, (c) => c.toUpperCase())}
            </button>
          ))}
        </div>
      )}
    </div>
  );
}

function List({ marks, onOpen }: { readonly marks: readonly DraftMark[]; readonly onOpen: (id: string) => void }) {
  if (marks.length === 0) return null;
  return (
    <ol class="stack" aria-label="Marks">
      {marks.map((m, i) => (
        <li key={m.id}>
          <button type="button" class="button book-line" onClick={() => onOpen(m.id)}>
            <span class="mark-number">{i + 1}</span>
            <span>
              {m.what === null ? "Not said yet" : upper(valueWord("mark", m.what))}, {valueWord("side", m.side)},{" "}
              {zoneName(m.x_pm, m.y_pm)}
            </span>
          </button>
        </li>
      ))}
    </ol>
  );
}

/** Pictures of the whole device, however it looks. */
function Whole({ booking, change }: StepProps) {
  const { problem, run } = useAct();
  const take = (picture: Blob) =>
    run(
      () => keepPhoto(BEFORE_JOB, picture),
      (photo) => change({ photos: [...booking.photos, photo] }),
    );
  return (
    <section class="stack" aria-label="Photos of the whole device">
      <h2>Photos of the whole device</h2>
      <PhotoStrip photos={booking.photos.map((p) => p.sha256)} what="Whole device" />
      <PhotoButton label={booking.photos.length === 0 ? "Take a photo" : "Another photo"} onPicture={take} />
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}

function OneMark({ booking, change, mark }: StepProps & { readonly mark: DraftMark }) {
  const { problem, run } = useAct();
  const set = (patch: Partial<DraftMark>): void =>
    change({ marks: booking.marks.map((m) => (m.id === mark.id ? { ...m, ...patch } : m)) });
  const take = (picture: Blob) =>
    run(
      () => keepPhoto(BEFORE_JOB, picture),
      (photo) => set({ photos: [...mark.photos, photo] satisfies readonly DraftPhoto[] }),
    );
  return (
    <>
      <p class="big">
        Mark {booking.marks.indexOf(mark) + 1}: {valueWord("side", mark.side)}, {zoneName(mark.x_pm, mark.y_pm)}
      </p>
      <Choice
        label="What is it?"
        options={choicesOf("mark")}
        value={mark.what}
        onChoose={(what) => set({ what })}
        across
      />
      <PhotoStrip photos={mark.photos.map((p) => p.sha256)} what="Mark" />
      {mark.photos.length < MOST_PHOTOS && (
        <PhotoButton label={mark.photos.length === 0 ? "Photo of it" : "Another photo"} onPicture={take} />
      )}
      {problem !== null && <Refusal problem={problem} />}
      <TextField label="Note" value={mark.note} onInput={(note) => set({ note })} maxLength={200} />
    </>
  );
}
