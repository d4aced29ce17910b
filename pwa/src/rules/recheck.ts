/** A device that is fully tested before it is glued shut is tested once more afterwards: points that worked must still work. */
import type { Job } from "../fold/state.ts";
import type { Procedure, Step } from "./procedure.ts";
import { blockingFinal, seen } from "./tests.ts";

export type Recheck = {
  /** Points that work so far. */
  readonly asked: readonly string[];
  /** Points that fail now and keep the job from being closed. */
  readonly against: readonly string[];
  /** Points that already failed at the final test. */
  readonly left: readonly string[];
};

export function recheckOf(job: Job, procedure: Procedure, step: Pick<Step, "points">): Recheck {
  const points = step.points ?? [];
  const blocking = blockingFinal(job, procedure);
  const asked = points.filter((p) => seen(job, "final", p) === "pass");
  const left = points.filter((p) => !asked.includes(p) && !blocking.includes(p));
  return { asked, against: blocking, left };
}
