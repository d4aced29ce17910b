/** What came of a job, as it is said to the customer at hand-over: repaired or not, parts, what still fails, warranty. */
import { state } from "../../current.ts";
import { nowMs } from "../../device/clock.ts";
import type { Job } from "../../fold/state.ts";
import { stages, stopReasons } from "../../tables.ts";
import { groupCode } from "../../ui/format.ts";
import { Shape } from "../../ui/Shape.tsx";
import { procedure } from "../../views/catalogue.ts";
import { compare } from "../../views/comparison.ts";
import { shop } from "../../views/people.ts";

export function Outcome({ code, job }: { readonly code: string; readonly job: Job }) {
  const repaired =
    job.stop === null && (job.stage === "ready" || (job.stage === "handed_over" && job.leftover.length > 0));
  const underWay = job.stage === "bench";
  const rows = compare(job);
  const cured = rows.filter((r) => r.verdict === "cured").map((r) => r.name);
  const fails = rows.filter((r) => r.fails).map((r) => r.name);
  const { warranty_days } = shop();
  return (
    <div class="stack">
      <p class={`big mark ${repaired ? "good" : underWay ? "now" : "stop"}`}>
        <Shape name={repaired ? "done" : underWay ? "now" : "stop"} size={30} />
        {repaired ? (procedure(job.procedure)?.title ?? "Repaired") : underWay ? "Not finished yet" : "Not repaired"}
      </p>
      {underWay && <p>{stages.bench.customer}</p>}
      {!repaired && !underWay && (
        <p>{job.stop === null ? "Work was not begun." : stopReasons[job.stop.reason]?.customer}</p>
      )}
      <dl class="facts">
        <dt>Ticket</dt>
        <dd>{groupCode(code)}</dd>
        <dt>Complaint</dt>
        <dd>“{job.complaint}”</dd>
        {repaired && <Parts job={job} />}
        {cured.length > 0 && (
          <>
            <dt>Works again</dt>
            <dd>{cured.join(", ")}</dd>
          </>
        )}
        {fails.length > 0 && (
          <>
            <dt>Does not work</dt>
            <dd>{fails.join(", ")}</dd>
          </>
        )}
        {repaired && warranty_days !== undefined && (
          <>
            <dt>Warranty</dt>
            <dd>
              {warranty_days} days, until {day((job.handed_over ?? nowMs()) + warranty_days * DAY_MS)}
            </dd>
          </>
        )}
      </dl>
    </div>
  );
}

const DAY_MS = 86_400_000;
const day = (ms: number): string =>
  new Date(ms).toLocaleDateString(undefined, { day: "numeric", month: "long", year: "numeric" });

function Parts({ job }: { readonly job: Job }) {
  const parts = Object.keys(job.parts)
    .map((part) => state.value.thing.get(part))
    .filter((thing) => thing !== undefined && thing.verdict !== "doa" && thing.verdict !== "doubtful");
  if (parts.length === 0) return null;
  return (
    <>
      <dt>New part</dt>
      <dd>{parts.map((p) => `${p?.name ?? "Part"}${p?.lot == null ? "" : `, lot ${p.lot}`}`).join("; ")}</dd>
    </>
  );
}
