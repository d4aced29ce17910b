/** Whether the customer's complaint is cured: asked before fitting, and again as the first line of the final test. */
import type { Job } from "../fold/state.ts";
import { finalRound } from "./tests.ts";

type Check = Job["complaint_checks"][string];

/** What the final test of the present round says of the complaint; null while it was not asked there. */
export const complaintCured = (job: Job): Check["cured"] | null => finalCheck(job)?.cured ?? null;

/** The same with its note, and who said it. */
export const finalCheck = (job: Job): Check | undefined => job.complaint_checks[`final/${finalRound(job)}`];
