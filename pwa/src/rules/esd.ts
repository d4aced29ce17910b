/** Static checks: which reading passes, how long a check counts, and which one counted for work (shared/esd.json). */
import esdTable from "@shared/esd.json";

export type Item = "wrist_strap" | "mat";
export type Check = {
  readonly name: string;
  readonly setting: "strap_interval" | "mat_interval";
  readonly below_ohms: number;
  readonly source: string;
  readonly advised_from_ohms?: number;
  readonly advised_source?: string;
  readonly intervals: readonly string[];
  readonly default: string;
};
type Interval = { readonly name: string; readonly hours?: number; readonly days?: number };

export const esdChecks = esdTable.checks as Readonly<Record<Item, Check>>;
const intervals = esdTable.intervals as Readonly<Record<string, Interval>>;

const HOUR_MS = 3_600_000;
/** The number of the calendar day that a moment belongs to, in the shop's zone. */
export type DayOf = (atMs: number) => number;

export type Judged = "passed" | "low" | "failed";

/** A reading passes below its limit; the limit itself fails. It is low when it passes below the advised least. */
export function judge(item: Item, ohms: number, limitOhms: number): Judged {
  if (ohms >= limitOhms) return "failed";
  return ohms < (esdChecks[item].advised_from_ohms ?? 0) ? "low" : "passed";
}

/** What the shop has set, or else the default. No interval means never. */
export function intervalOf(item: Item, settings: { readonly [name in Check["setting"]]?: string }): string {
  const check = esdChecks[item];
  const kept = settings[check.setting];
  return kept !== undefined && check.intervals.includes(kept) ? kept : check.default;
}

export const intervalName = (interval: string): string => intervals[interval]?.name ?? interval;

/** Whether a check still counts at a moment. If no sign-on is known, "at every sign-on" counts for the day. */
export function stands(
  checkedMs: number,
  atMs: number,
  interval: string,
  dayOf: DayOf,
  signedOnMs: number | null,
): boolean {
  const { hours, days } = intervals[interval] as Interval;
  if (checkedMs > atMs) return false;
  if (hours !== undefined) return atMs - checkedMs < hours * HOUR_MS;
  if (days === undefined && signedOnMs !== null) return checkedMs >= signedOnMs;
  return dayOf(atMs) - dayOf(checkedMs) < (days ?? 1);
}

/** A calendar day of work: its first moment, the indexes of the checks that counted, and the first moment without one. */
export type WorkDay = {
  readonly first_ms: number;
  readonly checks: readonly number[];
  readonly without_ms: number | null;
};

/** Which checks counted for work at these moments: one entry per calendar day of the shop. */
export function workDays(
  moments: readonly number[],
  checks: readonly number[],
  interval: string,
  dayOf: DayOf,
): readonly WorkDay[] {
  const days = new Map<number, number[]>();
  for (const moment of [...moments].sort((a, b) => a - b)) {
    const day = dayOf(moment);
    days.set(day, [...(days.get(day) ?? []), moment]);
  }
  return [...days.values()].map((day) => {
    const counted = day.map((moment) => {
      const last = lastBefore(checks, moment);
      return last !== null && stands(checks[last] as number, moment, interval, dayOf, null) ? last : null;
    });
    return {
      first_ms: day[0] as number,
      checks: [...new Set(counted.filter((n) => n !== null))],
      without_ms: day.find((_, n) => counted[n] === null) ?? null,
    };
  });
}

function lastBefore(checks: readonly number[], moment: number): number | null {
  let last: number | null = null;
  checks.forEach((checked, n) => {
    if (checked <= moment && (last === null || checked >= (checks[last] as number))) last = n;
  });
  return last;
}

export type OhmUnit = "k" | "M";
const FACTOR: Readonly<Record<OhmUnit, number>> = { k: 1_000, M: 1_000_000 };

/** Whole ohms from a number as typed, with comma or point; null when no meter shows such a number. */
export function readOhms(text: string, unit: OhmUnit): number | null {
  const plain = text.trim().replace(",", ".");
  if (!/^[0-9]{1,6}(\.[0-9]{1,3})?$/.test(plain)) return null;
  return Math.round(Number(plain) * FACTOR[unit]);
}
