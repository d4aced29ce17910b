/** What came of a job, as it is said to the customer at hand-over: repaired or not, parts, what still fails, warranty. */
import recordTable from "@shared/record.json";
import { state } from "../../current.ts";
import { nowMs } from "../../device/clock.ts";
import { procedure } from "../../facts/catalogue.ts";
import { shop } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { isDone, type Outcome as OutcomeId, outcome } from "../../rules/outcome.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { compare } from "../../views/comparison.ts";
import { outcomeLines, outcomeWords } from "../../views/outcome.ts";
import { groupCode } from "../../words/format.ts";

const LOOK: Readonly<Record<OutcomeId, readonly [ShapeName, string]>> = {
  not_begun: ["stop", "stop"],
  under_way: ["now", "now"],
  repaired: ["done", "good"],
  repaired_but: ["warn", "warn"],
  not_cured: ["warn", "warn"],
  not_known: ["warn", "warn"],
  not_repaired: ["stop", "stop"],
  no_battery: ["stop", "stop"],
};

export function Outcome({ code, job }: { readonly code: string; readonly job: Job }) {
  const done = isDone(job);
  const [shape, tone] = LOOK[outcome(job)];
  const rows = compare(job);
  const cured = rows.filter((r) => r.verdict === "cured").map((r) => r.name);
  const fails = rows.filter((r) => r.fails).map((r) => r.name);
  const { warranty_days } = shop();
  return (
    <div class="stack">
      <p class={`big mark ${tone}`}>
        <Shape name={shape} size={30} />
        {outcomeWords(job).name}
      </p>
      {outcomeLines(job).map((line) => (
        <p key={line}>{line}</p>
      ))}
      <dl class="facts">
        <dt>Ticket</dt>
        <dd>{groupCode(code)}</dd>
        <dt>Complaint</dt>
        <dd>“{job.complaint}”</dd>
        {done && (
          <>
            <dt>Work</dt>
            <dd>{procedure(job.procedure, job.revision)?.title ?? "Repair"}</dd>
            <Parts job={job} />
          </>
        )}
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
        {done && warranty_days !== undefined && (
          <>
            <dt>Warranty</dt>
            <dd>
              {recordTable.warranty.until
                .replace("{days}", String(warranty_days))
                .replace("{day}", day((job.handed_over ?? nowMs()) + warranty_days * DAY_MS))}
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
