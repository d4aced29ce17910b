/** What came of a job: one rule for message, record, paper and ticket (shared/record.json has the words). */
import type { Job } from "../fold/state.ts";
import { complaintCured } from "./complaint.ts";

export type Outcome =
  | "not_begun"
  | "under_way"
  | "repaired"
  | "repaired_but"
  | "not_cured"
  | "not_known"
  | "not_repaired"
  | "no_battery";

export function outcome(job: Job): Outcome {
  if (job.stop !== null) return job.cell === "out" && !isPluggedIn(job) ? "no_battery" : "not_repaired";
  if (job.stage === "bench") return "under_way";
  const isClosed = job.stage === "ready" || (job.stage === "handed_over" && job.leftover.length > 0);
  if (!isClosed) return "not_begun";
  const cured = complaintCured(job);
  if (cured === "no") return "not_cured";
  if (Object.keys(job.incidents).length > 0) return "repaired_but";
  return cured === "unknown" ? "not_known" : "repaired";
}

/** The repair was carried out, whatever came of it. */
export const isDone = (job: Job): boolean =>
  ["repaired", "repaired_but", "not_cured", "not_known"].includes(outcome(job));

/**
 * Why it was stopped, as people are told: a paired part that was damaged in our own work is a reason of its own. Null
 * without a stop, or where the outcome says it already.
 */
export function reasonTold(job: Job): string | null {
  if (job.stop === null) return null;
  const { reason } = job.stop;
  if (reason === "battery" && outcome(job) === "no_battery") return null;
  return reason === "paired" && Object.keys(job.incidents).length > 0 ? "paired_ours" : reason;
}

/** Everything that was unplugged is plugged in again, so a new battery is in. */
function isPluggedIn(job: Job): boolean {
  const all = Object.values(job.connectors);
  return all.length > 0 && all.every(({ out = 0, back = 0 }) => out === back);
}
