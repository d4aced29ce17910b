/** Which test points a stage has, which are open, and which speak against closing (shared/attribution.json). */
import type { Job, TestStage } from "../fold/state.ts";
import { testPoints, verdicts } from "../tables.ts";
import { attribute, type Seen } from "./attribution.ts";
import type { Procedure } from "./procedure.ts";

export const pointsOf = (stage: TestStage): readonly string[] =>
  Object.entries(testPoints)
    .filter(([, p]) => p.stages.includes(stage))
    .map(([id]) => id);

export const seen = (job: Job, stage: TestStage, point: string): Seen =>
  job.tests[`${stage}/${point}`]?.result ?? "none";

export const verdictOf = (job: Job, point: string): string =>
  attribute(seen(job, "intake", point), seen(job, "prefit", point), seen(job, "final", point));

export const openFinal = (job: Job): readonly string[] =>
  pointsOf("final").filter((p) => seen(job, "final", p) === "none");

/**
 * Final points that were tested and still speak against closing. A failure that was not known at intake stops blocking once its
 * reading says what was agreed; a paired part must work now unless it did not at intake.
 */
export function blockingFinal(job: Job, procedure: Procedure): readonly string[] {
  const paired = new Set(procedure.pairs.map((p) => p.test));
  return pointsOf("final").filter((point) => {
    const final = seen(job, "final", point);
    if (final === "none") return false;
    const intake = seen(job, "intake", point);
    const pairLost = paired.has(point) && final !== "pass" && intake !== "fail" && intake !== "cannot";
    return pairLost || speaksAgainst(job, point);
  });
}

function speaksAgainst(job: Job, point: string): boolean {
  const verdict = verdictOf(job, point);
  if (verdict === "unknown_before") return job.tests[`final/${point}`]?.why === null;
  return verdicts[verdict]?.blocks_ready === true;
}
