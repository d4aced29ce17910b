/** What the tests of a job leave on the customer's device, to be removed before it is ready (shared/test_points.json). */
import type { Job } from "../fold/state.ts";
import { testPoints } from "../tables/testPoints.ts";

export type Trace = {
  readonly what: string;
  readonly undo: string;
  /** Names of the points whose test leaves it. */
  readonly points: readonly string[];
};

/** One line per kind of trace. A device that was never unlocked is tested in ways that leave none. */
export function tracesOf(job: Job): readonly Trace[] {
  if (job.lock === "locked" && job.lock_changes.length === 0) return [];
  const traces = new Map<string, Trace>();
  for (const [id, point] of Object.entries(testPoints)) {
    if (point.leaves === undefined || !wasTested(job, id)) continue;
    const { what, undo } = point.leaves;
    traces.set(undo, { what, undo, points: [...(traces.get(undo)?.points ?? []), point.name] });
  }
  return [...traces.values()];
}

/** At any stage and in any round. */
const wasTested = (job: Job, point: string): boolean =>
  [job.tests, job.final_tests].some((readings) =>
    Object.entries(readings).some(([key, reading]) => key.endsWith(`/${point}`) && reading.result !== "cannot"),
  );
