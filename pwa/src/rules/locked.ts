/** Testing a device that stays locked (shared/test_points.json; common practice, no source). */
import type { FinalReading, Job } from "../fold/state.ts";
import { lockedReason, testPoints } from "../tables/testPoints.ts";

export const isLocked = (job: Pick<Job, "lock">): boolean => job.lock === "locked";

/** How a point is tested, and how what that leaves is removed; where the lock bars it, also why. */
export function howToTest(point: string, locked: boolean): string {
  const row = testPoints[point];
  if (row === undefined) return "";
  if (!locked || row.locked.test === "usual")
    return row.leaves === undefined ? row.how : `${row.how} ${row.leaves.undo}`;
  return row.locked.test === "other" ? row.locked.how : `${row.how} ${row.locked.why}`;
}

/** Whether a point cannot be tested at all while the device stays locked. */
export const isBarred = (point: string): boolean => testPoints[point]?.locked.test === "none";

/** The reason that goes on the reading of a point that the lock bars. */
export function lockedWhy(point: string): string {
  const locked = testPoints[point]?.locked;
  return locked?.test === "none" ? `${lockedReason}. ${locked.why}` : lockedReason;
}

/** Whether a reading says that the lock barred it. */
export const isLockedOut = (reading: Pick<FinalReading, "because"> | undefined): boolean =>
  reading?.because === "locked";
