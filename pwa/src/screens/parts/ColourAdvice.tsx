/** What a colour reading says: shape, word and number; and the readings on a job's record. */
import "../../style/colourAdvice.css";
import { staffName } from "../../facts/people.ts";
import type { IndicatorReading, Job } from "../../fold/state.ts";
import type { ColourVerdict, Reading } from "../../rules/colour.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { readingNext, readingWords, verdictName } from "../../views/colour.ts";
import { dayTime } from "../../words/format.ts";

const SHAPES: Readonly<Record<ColourVerdict, readonly [ShapeName, string]>> = {
  untouched: ["done", "good"],
  tinged: ["warn", "warn"],
  tripped: ["stop", "stop"],
  cannot_tell: ["open", ""],
};

/** One line of a fixed height, for directly below the photo: it changes while the discs move. */
export function ColourLine({ reading }: { readonly reading: Reading }) {
  return (
    <p class="colour-line" role="status">
      <Verdict reading={reading} name={verdictName(reading)} />
    </p>
  );
}

/** Numbers, what they mean, and whose decision it is. */
export function ColourAdvice({ reading }: { readonly reading: Reading }) {
  return (
    <div class="colour-advice">
      <p>
        <strong>{readingWords(reading)}</strong>
      </p>
      <p>{readingNext(reading)}</p>
      <p class="soft">This advises; you decide.</p>
    </div>
  );
}

/** List items, for a list of what was found on a job. */
export function Readings({ job }: { readonly job: Job }) {
  return (
    <>
      {job.readings.map((reading) => (
        <Kept key={reading.event} reading={reading} />
      ))}
    </>
  );
}

function Kept({ reading }: { readonly reading: IndicatorReading }) {
  return (
    <li class="stack">
      <Verdict reading={reading} name={`Indicator by photo: ${verdictName(reading).toLowerCase()}`} />
      <p>{readingWords(reading)} Advice only.</p>
      <p class="soft">
        {staffName(reading.staff)}, {dayTime(reading.at_ms)}
      </p>
    </li>
  );
}

function Verdict({ reading, name }: { readonly reading: Reading; readonly name: string }) {
  const [shape, tone] = SHAPES[reading.verdict];
  return (
    <span class={`mark ${tone}`}>
      <Shape name={shape} />
      {name}
    </span>
  );
}
