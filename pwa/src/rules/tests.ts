/** Which test points a stage has, which are open, and which speak against closing (shared/attribution.json). */
import type { FinalReading, Job, TestStage } from "../fold/state.ts";
import { verdicts } from "../tables/attribution.ts";
import { testPoints } from "../tables/testPoints.ts";
import { attribute, type Seen } from "./attribution.ts";
import { settledPoints } from "./incidents.ts";
import { isLocked, isLockedOut } from "./locked.ts";
import type { Procedure } from "./procedure.ts";

export const pointsOf = (stage: TestStage): readonly string[] =>
  Object.entries(testPoints)
    .filter(([, p]) => p.stages.includes(stage))
    .map(([id]) => id);

/** The round of the final test that counts: a device that was opened again starts the next one blank. */
export const finalRound = (job: Job): number => Math.max(1, ...job.final_rounds.map((begun) => begun.round));

/** What was read at a stage; at the end, in the round that counts. */
export const readingOf = (job: Job, stage: TestStage, point: string): FinalReading | undefined =>
  stage === "final" ? finalReading(job, finalRound(job), point) : job.tests[`${stage}/${point}`];

/** What one round of the final test says about a point. */
export const finalReading = (job: Job, round: number, point: string): FinalReading | undefined =>
  round === 1 ? job.tests[`final/${point}`] : job.final_tests[`${round}/${point}`];

/** Points with a reading in one round of the final test. */
export const pointsRead = (job: Job, round: number): readonly string[] => {
  const [readings, prefix] = round === 1 ? [job.tests, "final/"] : [job.final_tests, `${round}/`];
  return Object.keys(readings)
    .filter((key) => key.startsWith(prefix))
    .map((key) => key.slice(prefix.length));
};

export const seen = (job: Job, stage: TestStage, point: string): Seen => readingOf(job, stage, point)?.result ?? "none";

export const verdictOf = (job: Job, point: string): string =>
  attribute(seen(job, "intake", point), seen(job, "prefit", point), seen(job, "final", point));

/** Points without a reading in the final test; what the lock barred is open again once the device is unlocked. */
export const openFinal = (job: Job): readonly string[] =>
  pointsOf("final").filter((point) => {
    const reading = readingOf(job, "final", point);
    return reading === undefined || (!isLocked(job) && reading.result === "cannot" && isLockedOut(reading));
  });

/**
 * Final points that were tested and still speak against closing. A failure that was not known at intake stops blocking once its
 * reading says what was agreed; a paired part must work now unless it did not at intake. What an incident of ours harmed
 * keeps its verdict and stops blocking once a lead has settled what is owed for it.
 */
export function blockingFinal(job: Job, procedure: Procedure): readonly string[] {
  const paired = new Set(procedure.pairs.map((p) => p.test));
  const settled = settledPoints(job);
  return pointsOf("final").filter((point) => {
    const final = seen(job, "final", point);
    if (final === "none" || settled.has(point)) return false;
    const intake = seen(job, "intake", point);
    const pairLost = paired.has(point) && final !== "pass" && intake !== "fail" && intake !== "cannot";
    return pairLost || speaksAgainst(job, point);
  });
}

/** Whether a reading says nothing but its result. */
export const lacksReason = (reading: FinalReading | undefined): boolean =>
  reading?.because === null && reading.why === null;

function speaksAgainst(job: Job, point: string): boolean {
  // It worked at the final test and fails when it is tested once more after closing.
  if (readingOf(job, "final", point)?.because === "lost") return true;
  const verdict = verdictOf(job, point);
  if (verdict === "unknown_before") return lacksReason(readingOf(job, "final", point));
  return verdicts[verdict]?.blocks_ready === true;
}

const LATEST_FIRST: readonly TestStage[] = ["final", "prefit", "intake"];

/** Points that could not be shown because the device stayed locked, by the latest reading of each. */
export function notShown(job: Job): readonly string[] {
  return Object.keys(testPoints).filter((point) => {
    const latest = LATEST_FIRST.map((stage) => readingOf(job, stage, point)).find((reading) => reading !== undefined);
    return latest?.result === "cannot" && isLockedOut(latest);
  });
}
