/** The current try of the pre-fit test, from the job's record. */
import { state } from "../current.ts";
import type { Job, TestResult } from "../fold/state.ts";
import { isOut } from "../rules/bench.ts";
import {
  actionOf,
  type Crosswise,
  MOST_TRIES,
  type Next,
  nextTry,
  type Tried,
  type TryAction,
  type WorkedBefore,
} from "../rules/prefit.ts";
import type { Procedure } from "../rules/procedure.ts";
import { seen } from "../rules/tests.ts";
import { testPoints } from "../tables/testPoints.ts";

/** The tries of a job, each with the lot of its unit. */
export const triesOf = (job: Job): readonly Tried[] => job.tries.map((t) => ({ ...t, lot: lotOf(t.part) }));

/** What identifies a unit's lot: supplier and lot. Null when it is not known. */
export function lotOf(part: string | null): string | null {
  const thing = part === null ? undefined : state.value.thing.get(part);
  return thing?.lot == null ? null : `${thing.supplier}/${thing.lot}`;
}

export const workedBefore = (job: Job): WorkedBefore =>
  new Set(Object.keys(testPoints).filter((point) => seen(job, "intake", point) === "pass"));

/** What follows from the tries of a job. */
export const nextOf = (job: Job): Next => nextTry(triesOf(job), workedBefore(job));

export type PresentTry = {
  readonly number: number;
  readonly action: TryAction;
  /** What the technician reads first. */
  readonly say: string;
  /** Other ways to find out, instead of the one asked for. */
  readonly or: readonly Crosswise[];
  /** The unit to test now; null while one has to be scanned, and for the old part. */
  readonly part: string | null;
  /** Whether something is plugged in that can be tested. */
  readonly ready: boolean;
  readonly results: Readonly<Record<string, TestResult | null>>;
};

/** `crosswise`: the person tries a known-good unit or the old part instead of a new unit. */
export function presentTry(job: Job, points: readonly string[], crosswise: Crosswise | null = null): PresentTry {
  const next = nextOf(job);
  const or = next.or ?? [];
  const other = crosswise !== null && or.includes(crosswise) ? crosswise : null;
  // Once a part is proven no try follows; another unit could still be tried.
  const action = other ?? actionOf(next) ?? "second_unit";
  const number = Math.min(job.tries.length + 1, MOST_TRIES);
  const assigned = Object.keys(job.parts);
  const tried = new Set(job.tries.map((t) => t.part));
  const fresh = assigned.filter((p) => !tried.has(p)).at(-1) ?? null;
  const last = job.tries.at(-1)?.part ?? null;
  // The last number has the readings of the last try, which must not count for another unit.
  const isOver = job.tries.length >= MOST_TRIES;
  const part = isOver || other !== null ? null : action === "reseat" ? last : fresh;
  const ready = !isOver && (other !== null || part !== null);
  const results = Object.fromEntries(
    points.map((p) => {
      const reading = job.tests[`prefit/${p}`];
      return [p, reading?.try === number ? reading.result : null];
    }),
  );
  return { number, action, say: next.say, or, part, ready, results };
}

/** A ready reason for a point that cannot be tested now: every connector that serves it is still out. Null when none is. */
export function unpluggedReason(job: Job, procedure: Procedure, point: string): string | null {
  const serves = testPoints[point]?.serves ?? [];
  const needed = procedure.connectors.filter((c) => c.serves.some((s) => serves.includes(s)));
  const isUnplugged = needed.length > 0 && needed.every((c) => isOut(job, c.id));
  return isUnplugged ? `Not plugged in: ${needed.map((c) => c.name).join(", ")}` : null;
}
