/** One photo in large: what is drawn on it, by whom and when; drawing a mark and taking one away. */

import { useState } from "preact/hooks";
import { unmarkPhoto } from "../../actions/photo.ts";
import { staffName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { type FoundPhoto, jobOfPhoto, marksOf, type NumberedMark, placeOf } from "../../views/photoMarks.ts";
import { dayTime, groupCode, upper } from "../../words/format.ts";
import { zoneName } from "../../words/marks.ts";
import { valueWord } from "../../words/values.ts";
import { DrawMark } from "../parts/photos/DrawMark.tsx";
import { MarkedPhoto } from "../parts/photos/MarkedPhoto.tsx";
import { go } from "../route.ts";

/** `photo/<hash>`, or `photo/<job>/<hash>`. */
export function PhotoScreen({ args }: { readonly args: readonly string[] }) {
  const hash = args[args.length - 1] ?? "";
  const found = jobOfPhoto(hash);
  const [drawing, setDrawing] = useState(false);
  const { problem, run } = useAct();
  if (found !== null && drawing) {
    return <DrawMark found={found} hash={hash} onDone={() => setDrawing(false)} />;
  }
  const marks = found === null ? [] : marksOf(found.job, hash);
  const takeAway = (mark: NumberedMark) => run(() => unmarkPhoto(found?.code ?? "", hash, mark.id));
  return (
    <>
      <Page
        title={titleOf(found)}
        wide
        {...(found === null ? {} : { above: `${found.job.model}, job ${groupCode(found.code)}` })}
      >
        <MarkedPhoto hash={hash} alt={titleOf(found)} size={found?.photo ?? null} marks={marks} />
        {found?.photo != null && (
          <p class="soft">
            Taken by {staffName(found.photo.staff)}, {dayTime(found.photo.at_ms)}
            {found.photo.note !== null && `: ${said(found.photo.note)}`}
          </p>
        )}
        {found === null && <p class="soft">Marks can be drawn on it once the job is booked in.</p>}
        {problem !== null && <Refusal problem={problem} />}
        {marks.length > 0 && (
          <ol class="rows" aria-label="Marks on the photo">
            {marks.map((mark) => (
              <Row key={mark.id} mark={mark} onTakeAway={() => takeAway(mark)} />
            ))}
          </ol>
        )}
      </Page>
      <Dock>
        <Button onPress={() => back(found)} tone="aside">
          Back
        </Button>
        {found !== null && (
          <Button onPress={() => setDrawing(true)} tone="main">
            Draw a mark
          </Button>
        )}
      </Dock>
    </>
  );
}

function Row({ mark, onTakeAway }: { readonly mark: NumberedMark; readonly onTakeAway: () => void }) {
  return (
    <li class="row apart">
      <span class="photo-numbered">
        <span class="photo-number">{mark.number}</span>
        <span class="two-lines">
          <span>
            {said(mark.note) ?? (mark.shape === "circle" ? "Circle" : "Arrow")}, {zoneName(...placeOf(mark))}
          </span>
          <span class="soft small">
            {staffName(mark.staff)}, {dayTime(mark.at_ms)}
          </span>
        </span>
      </span>
      <button type="button" class="button" onClick={onTakeAway} aria-label={`Take away mark ${mark.number}`}>
        Take away
      </button>
    </li>
  );
}

const titleOf = (found: FoundPhoto | null): string => upper(valueWord("photo_use", found?.photo?.use ?? "other"));

/** To where it was opened from; a link opened by itself has nothing behind it. */
function back(found: FoundPhoto | null): void {
  if (history.length > 1) history.back();
  else go(found === null ? "scan" : `job/${found.code}`, "replace");
}
