/** Whether a job's battery is unsafe: small, since the frame of every screen asks it. */
import { unsafe_states } from "@shared/safety.json";
import type { Job } from "../fold/state.ts";

/** Whether the battery is known to be unsafe and still in the device. */
export const isCellUnsafe = (job: Job): boolean =>
  job.cell !== "out" && (job.stop?.reason === "battery" || unsafe_states.includes(job.cell ?? ""));
