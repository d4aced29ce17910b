/** Whether a job's battery is unsafe: small, since the frame of every screen asks it (shared/cell.json). */
import { hand_out_states, unsafe_states } from "@shared/cell.json";
import type { Job } from "../fold/state.ts";

export const isUnsafeState = (cell: Job["cell"]): boolean => cell !== null && unsafe_states.includes(cell);

/** The battery is known to be unsafe and still in the device, or it stopped the job and nobody has said yet what state it is in. */
export const isCellUnsafe = (job: Job): boolean =>
  isUnsafeState(job.cell) || (job.stop?.reason === "battery" && job.cell !== "out");

/** Whether a lead may hand the device out with that cell inside, once the owner is told. */
export const mayLeadHandOut = (job: Job): boolean =>
  job.cell !== null && hand_out_states.includes(job.cell) && job.stage !== "handed_over";
