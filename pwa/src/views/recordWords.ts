/** Words and moments as a repair record says them (shared/record.json). Times are read on the shop's clock. */
import recordTable from "@shared/record.json";
import { docs } from "../current.ts";
import { shop, staffName } from "../facts/people.ts";
import { testPoints } from "../tables/testPoints.ts";
import { isZone } from "./days.ts";

type Gaps = Readonly<Record<string, string | number>>;

export const filled = (text: string, gaps: Gaps): string =>
  text.replace(/\{(\w+)\}/g, (_, gap: string) => String(gaps[gap]));

export const line = (name: keyof typeof recordTable.lines, gaps: Gaps = {}): string =>
  filled(recordTable.lines[name], gaps);

export const pointName = (point: string): string => testPoints[point]?.name ?? point;
export const pointNames = (points: readonly string[]): string => points.map(pointName).join(", ");

export const who = (staff: string | null): string => (staff === null ? line("nobody") : staffName(staff));

/** A station by its name and id, whichever it is read at. */
export function benchName(id: string): string {
  const { name = id } = (docs.value.get(`station:${id}`)?.body ?? {}) as { readonly name?: string };
  return name === id ? line("station", { id }) : `${name} (${id})`;
}

export const by = (at: { readonly staff: string | null; readonly at_ms: number }): string =>
  `${who(at.staff)}, ${moment(at.at_ms)}`;

/** 9999-12-30, the last day of which every zone still has one after it. */
const LAST_MS = 253_402_128_000_000;

/** Such as "26 November 2026, 17:30"; in UTC, and said so, where the shop has no zone. */
export function moment(ms: number): string {
  if (ms > LAST_MS) return line("later");
  const { day, month, year, hour, minute } = partsOf(ms);
  const said = line("moment", { day: `${day} ${month} ${year}`, time: `${hour}:${minute}` });
  return isZone(shop().time_zone ?? "") ? said : line("no_zone", { moment: said });
}

/** The calendar day of a moment. */
export function day(ms: number): string {
  if (ms > LAST_MS) return line("later");
  const { day, month, year } = partsOf(ms);
  return `${day} ${month} ${year}`;
}

function partsOf(ms: number): Readonly<Record<string, string>> {
  const zone = shop().time_zone ?? "";
  const parts = new Intl.DateTimeFormat("en", {
    day: "numeric",
    month: "long",
    year: "numeric",
    hour: "2-digit",
    minute: "2-digit",
    hourCycle: "h23",
    calendar: "gregory",
    timeZone: isZone(zone) ? zone : "UTC",
  }).formatToParts(ms);
  return Object.fromEntries(parts.map(({ type, value }) => [type, value]));
}
