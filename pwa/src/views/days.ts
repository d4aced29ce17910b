/** Calendar days on the shop's clock. */

import { shop } from "../facts/people.ts";
import type { DayOf } from "../rules/esd.ts";

const DAY_MS = 86_400_000;
/** 9999-12-30, the last day of which every zone still has one after it. */
const LAST_MS = 253_402_128_000_000;

export const shopDay = (): DayOf => dayIn(shop().time_zone ?? "");

/** The number of a moment's calendar day in a zone; in UTC where the zone is not known. */
export function dayIn(timeZone: string): DayOf {
  const parts = formatIn(timeZone);
  return (atMs) => {
    const found = parts.formatToParts(Math.min(atMs, LAST_MS));
    const part = (type: Intl.DateTimeFormatPartTypes) => Number(found.find((p) => p.type === type)?.value);
    return Date.UTC(part("year"), part("month") - 1, part("day")) / DAY_MS;
  };
}

/** Whether there is a zone of this name. Newer browsers also take offsets such as +02:00, which the server does not. */
export function isZone(name: string): boolean {
  if (!/^[A-Za-z]/.test(name)) return false;
  try {
    new Intl.DateTimeFormat("en", { timeZone: name });
    return true;
  } catch {
    return false;
  }
}

function formatIn(timeZone: string): Intl.DateTimeFormat {
  const parts = { year: "numeric", month: "numeric", day: "numeric", calendar: "gregory" } as const;
  return new Intl.DateTimeFormat("en", { ...parts, timeZone: isZone(timeZone) ? timeZone : "UTC" });
}
