/** Reading a test point. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { TestResult, TestStage } from "../events/kinds.gen.ts";
import type { Work } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import { reasonFor } from "../rules/because.ts";
import { isFinalRead } from "../rules/bench.ts";
import { lockedWhy } from "../rules/locked.ts";
import { finalRound } from "../rules/tests.ts";
import { lackingWhy } from "../tables/testPoints.ts";
import { act } from "./act.ts";

export type Reading = {
  readonly point: string;
  readonly result: TestResult;
  readonly why?: string;
  readonly try?: number;
};

/** One reading; the last one of a stage stands. `test-why-missing` when a point cannot be tested and nothing says why. */
export async function readTest(code: string, stage: TestStage, reading: Reading): Promise<Result<readonly Event[]>> {
  const why = reading.why?.trim() ?? "";
  if (reading.result === "cannot" && why === "") return refuse("test-why-missing");
  return act(() => [readingEvent(code, stage, { ...reading, why })]);
}

/** Enter points that the lock bars, all in one press: each is an entry with its own reason. */
export async function readLocked(
  code: string,
  stage: TestStage,
  points: readonly string[],
): Promise<Result<readonly Event[]>> {
  return act(() =>
    points.map((point) => readingEvent(code, stage, { point, result: "cannot", why: lockedWhy(point) })),
  );
}

/** Enter points that the model has not, as intake found, all in one press. */
export async function readLacking(
  code: string,
  stage: TestStage,
  points: readonly string[],
): Promise<Result<readonly Event[]>> {
  return act(() => points.map((point) => readingEvent(code, stage, { point, result: "cannot", why: lackingWhy })));
}

/** The event of a reading. From the second round of the final test on, it names its round. */
export function readingEvent(code: string, stage: TestStage, reading: Reading): NewEvent {
  const { point, result } = reading;
  const why = reasonFor(point, reading.why ?? "");
  const job = state.value.job.get(code);
  const round = stage === "final" && job !== undefined ? finalRound(job) : 1;
  if (round > 1) return { kind: "final.read", job: code, body: { round, point, result, ...why } };
  const number = reading.try === undefined ? {} : { try: reading.try };
  return { kind: "test.read", job: code, body: { stage, point, result, ...why, ...number } };
}

/** A new round of the final test for a device that was opened after it; nothing when the present round is blank. */
export function finalAnew(code: string, job: Work["job"], why: string): readonly NewEvent[] {
  if (!isFinalRead(job)) return [];
  return [{ kind: "final.begun", job: code, body: { round: finalRound(job) + 1, why: why.slice(0, 200) } }];
}
