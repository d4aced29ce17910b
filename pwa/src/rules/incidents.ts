/** What the shop itself did wrong. */
import type { Job } from "../fold/state.ts";

/** Points harmed by an incident for which a lead has said what is owed: they no longer keep a job from being closed. */
export const settledPoints = (job: Job): ReadonlySet<string> =>
  new Set(
    Object.entries(job.incidents).flatMap(([id, { points }]) => (Object.hasOwn(job.settlements, id) ? points : [])),
  );

/** Incidents that wait for a lead. */
export const openIncidents = (job: Job): readonly string[] =>
  Object.keys(job.incidents).filter((id) => !Object.hasOwn(job.settlements, id));
