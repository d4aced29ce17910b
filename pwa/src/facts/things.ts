/** Where things are, from the heads of their moves (F6), and what was put away (F5.11). */
import { state, visited } from "../current.ts";
import { isCode } from "../events/fieldTypes.ts";
import { counterOf, holds, prefixOf } from "../fold/away.ts";
import type { Job, Thing } from "../fold/state.ts";

export type Place =
  | { readonly kind: "nowhere" }
  | { readonly kind: "at"; readonly to: string }
  | { readonly kind: "clash"; readonly places: readonly string[] };

/** The current place of a thing; heads that name more than one place are a clash. */
export function placeOf(thing: Thing | undefined): Place {
  const places = [...new Set(Object.values(thing?.heads ?? {}).map((h) => h.to))];
  if (places.length === 0) return { kind: "nowhere" };
  return places.length === 1 ? { kind: "at", to: places[0] as string } : { kind: "clash", places: places.sort() };
}

export const placeOfCode = (code: string): Place => placeOf(state.value.thing.get(code));

/** Whether a thing is, by any of its heads, at a place. */
const mayBeAt = (thing: Thing, place: string): boolean => Object.values(thing.heads).some((h) => h.to === place);

/** Codes of the things at a place, in ASCII order; of one kind if its letter is given. A clash counts at each of its places. */
export function thingsAt(place: string, kind = ""): readonly string[] {
  const found: string[] = [];
  for (const [code, thing] of state.value.thing) if (code.startsWith(kind) && mayBeAt(thing, place)) found.push(code);
  return found.sort();
}

/** Whether a code has a record here: it is live, or was read from the archive. */
export const isShown = (code: string): boolean =>
  state.value.job.has(code) || state.value.thing.has(code) || state.value.box.has(code);

/** Whether a code was put away and not read from the archive yet. */
export function isAway(code: string): boolean {
  if (!isCode(code) || code.startsWith("T") || isShown(code)) return false;
  const chain = state.value.chain.get(prefixOf(code));
  return chain !== undefined && holds(chain.away, counterOf(code));
}

/** Whether what is shown under a code was read from the archive. */
export const isFromArchive = (code: string): boolean =>
  visited.value.state.job.has(code) || visited.value.state.thing.has(code) || visited.value.state.box.has(code);

/** The tray bound to a job, if any. */
export const trayOf = (job: string): string | null => thingsAt(job, "T")[0] ?? null;

/** The job a tray is bound to, if any; null too while its place is a clash. */
export function jobOfTray(tray: string): string | null {
  const place = placeOfCode(tray);
  return place.kind === "at" && place.to.startsWith("J") ? place.to : null;
}

/** Everything whose moves clash. */
export const clashes = (): readonly string[] =>
  [...state.value.thing].filter(([, t]) => placeOf(t).kind === "clash").map(([code]) => code);

/** Whether a collector has taken a job's device for disposal, which ends the job. */
export function wasCollected(job: Job): boolean {
  const place: Place = job.device === null ? { kind: "nowhere" } : placeOfCode(job.device);
  return place.kind === "at" && place.to === "recycler";
}
