/** The rest of the record: condition, photos, promises, what was told, notes, earlier jobs. */

import { state } from "../../current.ts";
import type { Side } from "../../events/kinds.gen.ts";
import { consentTitle } from "../../facts/agreement.ts";
import { staffName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import type { Job } from "../../fold/state.ts";
import { isBookedShort } from "../../rules/handOver.ts";
import { stages } from "../../tables.ts";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { readJobEvents } from "../../views/jobEvents.ts";
import { type CheckLine, jobChecks } from "../../views/staticChecks.ts";
import { earlierJobs } from "../../views/status.ts";
import { dayTime } from "../../words/format.ts";
import { zoneName } from "../../words/marks.ts";
import { toldWords } from "../../words/told.ts";
import { valueWord } from "../../words/values.ts";
import { Outline } from "../parts/Outline.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";

type Props = { readonly code: string; readonly job: Job };

export function History({ code, job }: Props) {
  const rest = Object.entries(job.photos)
    .filter(([, p]) => p.use !== "mark")
    .map(([hash]) => hash);
  const earlier = earlierJobs(code);
  return (
    <div class="two">
      <div class="stack">
        <Condition job={job} />
        {rest.length > 0 && (
          <section class="stack" aria-label="Photos">
            <h2>Photos</h2>
            <PhotoStrip photos={rest} what="Job" />
          </section>
        )}
      </div>
      <div class="stack">
        <List title="Notes" rows={job.notes.map((n) => ({ ...n, text: said(n.note) }))} />
        <List
          title="Told"
          rows={job.told.map((t) => ({
            ...t,
            text: `${upper(toldWords(t.what))}, ${valueWord("channel", t.channel)}`,
          }))}
        />
        <List
          title="New promises"
          rows={job.promises.map((p) => ({ ...p, text: `${dayTime(p.promised_at_ms)}: ${said(p.why)}` }))}
        />
        <StaticChecks code={code} job={job} />
        {job.booked && (
          <section class="stack" aria-label="Agreed">
            <h2>Agreed</h2>
            <p>{job.consents.length === 0 ? "Nothing" : job.consents.map(consentTitle).join(". ")}.</p>
            {isBookedShort(job) && <p class="soft">It was booked in as unsafe: nothing else was asked.</p>}
            {job.terms !== null && <p>The shop's own terms were shown (revision {job.terms}).</p>}
          </section>
        )}
        {earlier.length > 0 && (
          <section class="stack" aria-label="Other jobs of this device">
            <h2>Other jobs of this device</h2>
            <ul class="stack">
              {earlier.map(([other, j]) => (
                <li key={other}>
                  <a class="card link" href={`#/job/${other}`}>
                    <strong>{said(j.complaint)}</strong>
                    <span class="soft">
                      {stages[j.stage].name}, booked in {dayTime(j.booked_at_ms ?? 0)}
                    </span>
                  </a>
                </li>
              ))}
            </ul>
          </section>
        )}
      </div>
    </div>
  );
}

const SIGNS: Readonly<Record<CheckLine["tone"], ShapeName>> = { good: "done", warn: "warn", stop: "stop" };

/** The static checks that counted while the job was worked on. */
function StaticChecks({ code, job }: { readonly code: string; readonly job: Job }) {
  const { value: events, problem } = useLoaded(() => readJobEvents(code), [code, state.value]);
  if (problem !== null) return <Refusal problem={problem} />;
  const lines = jobChecks(job, events ?? []);
  if (lines.length === 0) return null;
  return (
    <section class="stack" aria-label="Static checks">
      <h2>Static checks</h2>
      <ul class="rows">
        {lines.map(({ about, says, tone }) => (
          <li key={`${about} ${says}`}>
            <span class={`mark ${tone}`}>
              <Shape name={SIGNS[tone]} />
              {about}
            </span>
            <div>{says}</div>
          </li>
        ))}
      </ul>
    </section>
  );
}

type Said = { readonly event: string; readonly staff: string | null; readonly at_ms: number; readonly text: string };

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function List({ title, rows }: { readonly title: string; readonly rows: readonly Said[] }) {
  if (rows.length === 0) return null;
  return (
    <section class="stack" aria-label={title}>
      <h2>{title}</h2>
      <ul class="rows">
        {[...rows].reverse().map((row) => (
          <li key={row.event}>
            {row.text}
            <div class="soft small">
              {staffName(row.staff)}, {dayTime(row.at_ms)}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Condition({ job }: { readonly job: Job }) {
  const marks = Object.entries(job.marks).map(([id, mark], index) => ({ id, number: index + 1, ...mark }));
  if (marks.length === 0) return null;
  const sides = (["front", "back", "edge"] as const satisfies readonly Side[]).filter((side) =>
    marks.some((m) => m.side === side),
  );
  return (
    <section class="stack" aria-label="Condition at intake">
      <h2>Condition at intake</h2>
      <div class="job-outlines">
        {sides.map((side) => (
          <figure key={side}>
            <Outline side={side} spots={marks.filter((m) => m.side === side)} />
            <figcaption class="soft">{upper(valueWord("side", side))}</figcaption>
          </figure>
        ))}
      </div>
      <ol class="rows">
        {marks.map((m) => (
          <li class="stack" key={m.id}>
            <span>
              <span class="mark-number">{m.number}</span> {upper(valueWord("mark", m.what))},{" "}
              {valueWord("side", m.side)}, {zoneName(m.x_pm, m.y_pm)}
              {m.note !== null && `: ${said(m.note)}`}
            </span>
            <PhotoStrip photos={m.photos} what="Mark" />
          </li>
        ))}
      </ol>
    </section>
  );
}
