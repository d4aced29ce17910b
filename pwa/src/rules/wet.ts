/** Whether a check for liquid found any, by the condition that stops a job in events.json (common practice, no source). */
import type { Job } from "../fold/state.ts";

export type LiquidCheck = Pick<Job["liquid"][number], "indicator" | "signs">;

/** An indicator that has tripped, even slightly. */
export const isTripped = (indicator: LiquidCheck["indicator"] | null): boolean =>
  indicator === "tinged" || indicator === "red";

/** A tripped indicator or any other sign. */
export const isWet = (check: LiquidCheck): boolean => isTripped(check.indicator) || check.signs.length > 0;
