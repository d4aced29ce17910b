/** Whether the complaint is cured: the first line of the final test, in the round that counts. */
import type { Job } from "../fold/state.ts";
import { finalRound } from "./tests.ts";

/** Null while nobody was asked. */
export const complaintCured = (job: Job): "yes" | "no" | "unknown" | null =>
  job.complaint_checks[`final/${finalRound(job)}`]?.cured ?? null;
