/** The try of the pre-fit test that is under way, from what is recorded. */
import type { Job, TestResult } from "../fold/state.ts";
import { isOut } from "../rules/bench.ts";
import { actionOf, MOST_TRIES, nextTry, type TryAction } from "../rules/prefit.ts";
import type { Procedure } from "../rules/procedure.ts";
import { testPoints } from "../tables/testPoints.ts";

export type PresentTry = {
  readonly number: number;
  readonly action: TryAction;
  /** What the technician reads before it. */
  readonly say: string;
  /** The unit to test now; null while one has to be scanned. */
  readonly part: string | null;
  readonly results: Readonly<Record<string, TestResult | null>>;
};

export function presentTry(job: Job, points: readonly string[]): PresentTry {
  const next = nextTry(job.tries);
  // Once a part is proven nothing is tried; another unit is what could be.
  const action = actionOf(next) ?? "second_unit";
  const number = Math.min(job.tries.length + 1, MOST_TRIES);
  const assigned = Object.keys(job.parts);
  const tried = new Set(job.tries.map((t) => t.part));
  const fresh = assigned.filter((p) => !tried.has(p)).at(-1) ?? null;
  const last = job.tries.at(-1)?.part ?? null;
  // The last number holds the readings of the last try, which must not answer for another unit.
  const isOver = job.tries.length >= MOST_TRIES;
  const part = isOver ? null : action === "reseat" ? last : fresh;
  const results = Object.fromEntries(
    points.map((p) => {
      const reading = job.tests[`prefit/${p}`];
      return [p, reading?.try === number ? reading.result : null];
    }),
  );
  return { number, action, say: next.say, part, results };
}

/** A ready reason for a point that cannot be tested now: every connector that serves it is still out. Null when none is. */
export function unpluggedReason(job: Job, procedure: Procedure, point: string): string | null {
  const serves = testPoints[point]?.serves ?? [];
  const needed = procedure.connectors.filter((c) => c.serves.some((s) => serves.includes(s)));
  const isUnplugged = needed.length > 0 && needed.every((c) => isOut(job, c.id));
  return isUnplugged ? `Not plugged in: ${needed.map((c) => c.name).join(", ")}` : null;
}
