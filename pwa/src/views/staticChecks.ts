/** Static checks: whether the ones due at this bench were passed, and which counted for a job. */
import { signedOn, state, station } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { shop } from "../facts/people.ts";
import type { Job, StaticCheck } from "../fold/state.ts";
import { type Item, intervalOf, type Judged, judge, stands, workDays } from "../rules/esd.ts";
import { shopDay } from "./days.ts";
import { benchName, line, moment, who } from "./recordWords.ts";

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

/**
 * What counted for the work on a job, by person and by bench, from its record and events; a day without a check says so.
 * Work is a step that was done, also one that was taken back later.
 */
export function jobChecks(job: Job, events: readonly Event[]): readonly CheckLine[] {
  const checksOf = (name: string) => Object.values(job.static_checks).filter((check) => check.of === name);
  const work = events.filter((e) => e.known && e.kind === "step.done");
  const people = grouped(work, (e) => e.staff);
  const benches = grouped(work, (e) => e.station);
  return [
    ...[...people].flatMap(([staff, moments]) =>
      linesOf("wrist_strap", line("strap", { name: who(staff) }), moments, checksOf(staff)),
    ),
    ...[...benches].flatMap(([id, moments]) =>
      linesOf("mat", line("mat", { name: benchName(id) }), moments, checksOf(id)),
    ),
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
      : [{ about, says: line("unchecked", { moment: moment(day.without_ms) }), tone: "warn" } as const]),
    ...day.checks.map((n) => checkLine(item, about, day.first_ms, checks[n] as StaticCheck)),
  ]);
}

function checkLine(item: Item, about: string, workMs: number, check: StaticCheck): CheckLine {
  const judged = judge(item, check.ohms, check.limit_ohms);
  return {
    about,
    says: line("checked", {
      ohms: ohmText(check.ohms),
      judged: line(judged, { limit: ohmText(check.limit_ohms) }),
      moment: moment(check.at_ms),
      work: moment(workMs),
    }),
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

/** 1200000 -> "1.2 M ohm": three decimals at most, half up. */
export function ohmText(ohms: number): string {
  const [unit, name] = UNITS.find(([least]) => ohms >= least) ?? [1_000, "k ohm"];
  return `${Math.floor((2 * 1_000 * ohms + unit) / (2 * unit)) / 1_000} ${name}`;
}

const UNITS = [
  [1_000_000_000, "G ohm"],
  [1_000_000, "M ohm"],
  [1_000, "k ohm"],
] as const;
