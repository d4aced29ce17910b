/** Static checks: whether the ones due at this bench were passed, and which counted for a job. */
import { ownOnTop, signedOn, state, station } from "../current.ts";
import { type Event, isEvent } from "../events/envelope.ts";
import { shop, staffName, stationName } from "../facts/people.ts";
import type { StaticCheck } from "../fold/state.ts";
import { pulledAbout } from "../log/pulled.ts";
import { type Item, intervalOf, type Judged, judge, stands, workDays } from "../rules/esd.ts";
import { dayTime } from "../words/format.ts";
import { shopDay } from "./days.ts";

export type Standing = { readonly kind: "open" } | { readonly kind: Judged; readonly ohms: number };

/** How the strap of the person signed on, or the mat of this station, stands now. */
export function standing(item: Item, nowMs: number): Standing {
  const last = item === "mat" ? matsOf(station.value?.station).at(-1) : strapOf(signedOn.value);
  const since = item === "mat" ? null : (state.value.staff.get(signedOn.value ?? "")?.signed_on ?? null);
  // A station's clock may be a little behind the one that wrote the check.
  const at = Math.max(nowMs, last?.at_ms ?? 0);
  if (last === undefined || !stands(last.at_ms, at, intervalOf(item, shop()), shopDay(), since))
    return { kind: "open" };
  return { kind: judge(item, last.ohms, last.limit_ohms), ohms: last.ohms };
}

const strapOf = (staff: string | null): StaticCheck | undefined =>
  state.value.staff.get(staff ?? "")?.strap.wrist_strap;
const matsOf = (id: string | undefined): readonly StaticCheck[] => state.value.station.get(id ?? "")?.mats ?? [];

export type CheckLine = {
  readonly about: string;
  readonly says: string;
  readonly tone: "good" | "warn" | "stop";
};

/** What counted for the work on a job, by person and by bench; a day without a check says so. */
export async function readJobChecks(code: string): Promise<readonly CheckLine[]> {
  const pulled = (await pulledAbout(code)).map(({ event }) => event).filter(isEvent);
  const seen = new Set(pulled.map((e) => `${e.incarnation}.${e.seq}`));
  return jobChecks([
    ...pulled,
    ...ownOnTop.value.filter((e) => e.job === code && !seen.has(`${e.incarnation}.${e.seq}`)),
  ]);
}

/** From the events of the job: work is a step that was done, also one that was taken back later. */
export function jobChecks(events: readonly Event[]): readonly CheckLine[] {
  const work = events.filter((e) => e.known && e.kind === "step.done");
  const people = grouped(work, (e) => e.staff);
  const benches = grouped(work, (e) => e.station);
  return [
    ...[...people].flatMap(([staff, moments]) => {
      const straps = state.value.staff.get(staff)?.checks.filter((c) => c.item === "wrist_strap") ?? [];
      return linesOf("wrist_strap", `Wrist strap, ${staffName(staff)}`, moments, straps);
    }),
    ...[...benches].flatMap(([id, moments]) => linesOf("mat", `Bench mat, ${stationName(id)}`, moments, matsOf(id))),
  ];
}

function linesOf(
  item: Item,
  about: string,
  moments: readonly number[],
  checks: readonly StaticCheck[],
): readonly CheckLine[] {
  const times = checks.map((c) => c.at_ms);
  return workDays(moments, times, intervalOf(item, shop()), shopDay()).flatMap((day) => [
    ...(day.without_ms === null
      ? []
      : [{ about, says: `No check counted for the work of ${dayTime(day.without_ms)}`, tone: "warn" } as const]),
    ...day.checks.map((n) => checkLine(item, about, day.first_ms, checks[n] as StaticCheck)),
  ]);
}

function checkLine(item: Item, about: string, workMs: number, check: StaticCheck): CheckLine {
  const judged = judge(item, check.ohms, check.limit_ohms);
  const limit = `${judged === "failed" ? "not below" : "below"} the limit of ${ohmText(check.limit_ohms)}`;
  const advice = judged === "low" ? ", under the advised least" : "";
  return {
    about,
    says: `${ohmText(check.ohms)}, ${limit}${advice}. Measured ${dayTime(check.at_ms)}, for the work from ${dayTime(workMs)}`,
    tone: judged === "failed" ? "stop" : judged === "low" ? "warn" : "good",
  };
}

function grouped(work: readonly Event[], by: (event: Event) => string | null): ReadonlyMap<string, readonly number[]> {
  const found = new Map<string, number[]>();
  for (const event of work) {
    const key = by(event);
    if (key !== null) found.set(key, [...(found.get(key) ?? []), event.at_ms]);
  }
  return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** 1200000 -> "1.2 M ohm". */
export function ohmText(ohms: number): string {
  const [value, unit] =
    ohms >= 1_000_000_000
      ? [ohms / 1_000_000_000, "G ohm"]
      : ohms >= 1_000_000
        ? [ohms / 1_000_000, "M ohm"]
        : [ohms / 1_000, "k ohm"];
  return `${Number(value.toFixed(3))} ${unit}`;
}
