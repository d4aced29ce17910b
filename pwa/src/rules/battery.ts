/** Parts and old parts that are or hold a battery: which are unsafe, what a failed test makes of one, and energy as typed. */
import { testPoints } from "../tables/testPoints.ts";

/** A cell by itself, or one inside something; whatever its state. */
export const hasBattery = (caution: string | null): boolean => caution !== null && caution !== "none";

/** Failed or damaged: it waits in the safe place for somebody whom local rules allow to take it. */
export const isUnsafeBattery = (caution: string | null): boolean =>
  caution === "battery_failed" || caution === "battery_damaged";

/**
 * What a part becomes that failed before it was fitted; null when nothing changes. A loose cell that failed is taken for
 * a failed battery; what holds one, only when a point failed that its battery serves. Until a lead says otherwise.
 */
export function cautionWhenFailed(caution: string | null, failed: readonly string[]): "battery_failed" | null {
  if (caution === "battery_loose") return "battery_failed";
  const isItsBattery = failed.some((point) => testPoints[point]?.serves.includes("battery") === true);
  return caution === "battery_inside" && isItsBattery ? "battery_failed" : null;
}

/** The most that a part's energy may be: the limit of `part.received` in events.json. */
export const MOST_MWH = 1_000_000;

/** Watt-hours as printed on a battery, with comma or point, as whole milliwatt-hours; null when it is not a number. */
export function readWattHours(typed: string): number | null {
  const read = /^([0-9]{1,4})(?:[.,]([0-9]{1,3}))?$/.exec(typed.trim());
  if (read === null) return null;
  const mwh = Number(read[1]) * 1_000 + Number((read[2] ?? "").padEnd(3, "0"));
  return mwh >= 1 && mwh <= MOST_MWH ? mwh : null;
}
