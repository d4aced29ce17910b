/** Whether and by whom a device may go out, and whether its stop may be lifted. */
import type { Job } from "../fold/state.ts";
import { isCellUnsafe, mayLeadHandOut } from "./cell.ts";
import { unsafePaths } from "./safety.ts";

/** Inspected before any work, which opens nothing. */
const LOOKED = "safety";

/** Nothing was opened yet, so nothing has to be closed. */
export const isUntouched = (job: Job): boolean =>
  Object.keys(job.steps).every((step) => step === LOOKED) &&
  [job.ledger, job.connectors].every((done) => Object.keys(done).length === 0);

/** Whether the device may go to the customer now: ready, or never opened, and no unsafe battery inside. */
export function mayHandOver(job: Job): boolean {
  if (isCellUnsafe(job)) return false;
  return job.stage === "ready" || ((job.stage === "booked" || job.stage === "stopped") && isUntouched(job));
}

/** How the device may go out: by anybody, by a lead who tells the owner of the danger, or not at all. */
export const handOverBy = (job: Job): "anybody" | "lead" | "nobody" =>
  mayHandOver(job) ? "anybody" : mayLeadHandOut(job) ? "lead" : "nobody";

/** Booked in as unsafe: nothing was tested, agreed or promised. */
export const isBookedShort = (job: Job): boolean =>
  job.safety.some((check) => check.at === "counter" && unsafePaths(check).length > 0);

/** A stop can be lifted while the device is here, even after it was closed up (F5.6). */
export const mayBeLifted = (job: Job): boolean =>
  job.stop !== null && (job.stage === "stopped" || job.stage === "ready");
