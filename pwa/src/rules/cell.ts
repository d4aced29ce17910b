/** The battery of a job (shared/safety.json; common practice, no source). */
import safetyTable from "@shared/safety.json";
import type { Job } from "../fold/state.ts";

export const isUnsafeState = (cell: Job["cell"]): boolean => cell !== null && safetyTable.unsafe_states.includes(cell);

/** A cell that is not safe is inside, or may be: a battery stopped the job and nobody has said yet how it is. */
export function hasUnsafeCell(job: Job): boolean {
  const { cell, stop } = job;
  return isUnsafeState(cell) || (stop?.reason === "battery" && cell !== "out");
}

/** Whether a lead may hand the device out with that cell inside, once the owner is told. */
export const mayLeadHandOut = (job: Job): boolean =>
  job.cell !== null && safetyTable.hand_out_states.includes(job.cell) && job.stage !== "handed_over";
