/** The trace of a labelled thing: what it is, where it is, and everything that happened to it, in order (F4.2). */
import { ownOnTop, state } from "../current.ts";
import { codesOf } from "../events/about.ts";
import { type Event, eventId, isEvent } from "../events/envelope.ts";
import { supplierName } from "../facts/catalogue.ts";
import { type Place, placeOfCode } from "../facts/things.ts";
import { chunksAfter, type Placed } from "../log/pulled.ts";
import { isSlug } from "../problem.ts";
import { type Slug, stages } from "../tables.ts";
import { purposeName } from "../words/boxes.ts";
import { dayTime, groupCode } from "../words/format.ts";
import { type NamedPlace, PLACES } from "../words/places.ts";
import { remarks, sentence, thingName } from "./history.ts";
import { logAbout } from "./jobEvents.ts";

/** A place as it reads alone: "In box B7K20 0001X". */
export function placeWords(to: string): string {
  if (Object.hasOwn(PLACES, to)) return PLACES[to as NamedPlace];
  switch (to.charAt(0)) {
    case "B":
      return `In box ${groupCode(to)}`;
    case "T":
      return `On tray ${groupCode(to)}`;
    default:
      return `With ${thingName(to).replace(/^./, (c) => c.toLowerCase())}`;
  }
}

/** Places that disagree, in one phrase: "in box B7K20 0001X, or at the shipping desk". */
export const eitherPlace = (places: readonly string[]): string =>
  places.map((p) => placeWords(p).replace(/^./, (c) => c.toLowerCase())).join(", or ");

/** Where a thing is, from the thing outwards: its place, that place's own standing, and so on. */
export function whereIs(code: string): readonly string[] {
  const lines: string[] = [];
  const seen = new Set<string>();
  let at: string | null = code;
  while (at !== null && !seen.has(at)) {
    seen.add(at);
    const place: Place = placeOfCode(at);
    if (at !== code || at.startsWith("B") || at.startsWith("J")) lines.push(...standing(at));
    if (place.kind === "clash") {
      lines.push(`Two records disagree: ${eitherPlace(place.places)}`);
      return lines;
    }
    if (place.kind === "nowhere") break;
    lines.push(placeWords(place.to));
    at = /^[A-Z]/.test(place.to) ? place.to : null;
  }
  return lines.length === 0 ? ["Nobody has said where it is"] : lines;
}

/** What is to be said of a box or a job apart from its place. */
function standing(code: string): readonly string[] {
  const box = state.value.box.get(code);
  if (box !== undefined) {
    const forWhom = `The box: ${supplierName(box.supplier)}, ${purposeName(box.purpose)}`;
    if (box.shipped !== null) {
      const reference = box.shipped.reference === null ? "" : ` (${box.shipped.reference})`;
      return [forWhom, `Handed to the shipper ${dayTime(box.shipped.at_ms)}${reference}`];
    }
    return [forWhom, box.sealed === null ? "Open" : `Sealed ${dayTime(box.sealed.at_ms)}, not handed over yet`];
  }
  const job = state.value.job.get(code);
  return job?.booked ? [`The job: ${stages[job.stage].name}`] : [];
}

export type Line = {
  readonly id: string;
  readonly text: string;
  readonly remarks: readonly string[];
  /** Of a pick-up: its paper, which stands on no job. */
  readonly photos: readonly string[];
  readonly staff: string | null;
  readonly at_ms: number;
  readonly station: string;
  /** `sent`: in the server's log; `kept`: so far only here. */
  readonly mark: "sent" | "kept";
  readonly newer: boolean;
  /** Broken rules that the fold noticed at this event. */
  readonly findings: readonly Slug[];
};

/** Everything about a code: the pulled log in the server's order, then what is so far only here. */
export async function readTrace(code: string): Promise<readonly Line[]> {
  const pulled = [...(await logAbout(code)), ...(await shippingOf(code))].sort((x, y) => x.position - y.position);
  return traceLines(code, pulled, ownOnTop.value);
}

/** When the box that a part lies in left the shop: that happened to the part too. */
async function shippingOf(code: string): Promise<readonly Placed[]> {
  const box = boxOf(code);
  if (box === null) return [];
  return (await logAbout(box)).filter(({ event }) => isEvent(event) && event.kind === "box.shipped");
}

function boxOf(code: string): string | null {
  const place = placeOfCode(code);
  return place.kind === "at" && place.to.startsWith("B") ? place.to : null;
}

/** The lines of a trace. An event that was pulled meanwhile is not said twice. */
export function traceLines(code: string, pulled: readonly Placed[], onTop: readonly Event[]): readonly Line[] {
  const found = findingsBy(code);
  const box = boxOf(code);
  const isAbout = (e: Event) => codesOf(e).includes(code) || (e.kind === "box.shipped" && e.body.box === box);
  const sent = pulled.flatMap(({ event }) => (isEvent(event) ? [line(event, code, "sent", found)] : []));
  const ids = new Set(sent.map((l) => l.id));
  const kept = onTop.filter((e) => isAbout(e) && !ids.has(eventId(e))).map((e) => line(e, code, "kept", found));
  return [...sent, ...kept];
}

/** An entry the server set aside as malformed (F2.6): its place in the log, the fault, and its text as it came. */
export type SetAside = { readonly position: number; readonly id: string; readonly slug: Slug; readonly text: string };

/** Entries set aside, in order; with a code only those that name it. Goes through the whole pulled log. */
export async function setAside(code = ""): Promise<readonly SetAside[]> {
  const rows = (await chunksAfter(0)).flatMap((chunk) => setAsideIn(chunk.lines));
  return rows.filter((row) => row.text.includes(code));
}

/** Lines of a pull whose mark is not `-` (F8.2). */
export function setAsideIn(lines: string): readonly SetAside[] {
  return [...lines.matchAll(/^(\d+)\t([^\t@\n]+)@([^\t\n]+)\t(.*)$/gm)].map(([, position, slug, id, text]) => ({
    position: Number(position),
    id: id as string,
    slug: isSlug(slug) ? slug : "bad-field",
    text: text as string,
  }));
}

function line(event: Event, about: string, mark: "sent" | "kept", found: ReadonlyMap<string, readonly Slug[]>): Line {
  const id = eventId(event);
  return {
    id,
    text: sentence(event, about),
    remarks: remarks(event),
    photos: event.known && event.kind === "safe.collected" ? (event.body.photos as readonly string[]) : [],
    staff: event.staff,
    at_ms: event.at_ms,
    station: event.station,
    mark,
    newer: !event.known,
    findings: found.get(id) ?? [],
  };
}

function findingsBy(code: string): ReadonlyMap<string, readonly Slug[]> {
  const { job, thing, box } = state.value;
  const at = placeOfCode(code);
  const records = [job.get(code), thing.get(code), box.get(code), at.kind === "at" ? box.get(at.to) : undefined];
  const found = new Map<string, readonly Slug[]>();
  for (const finding of records.flatMap((r) => r?.findings ?? [])) {
    if (isSlug(finding.slug)) found.set(finding.event, [...(found.get(finding.event) ?? []), finding.slug]);
  }
  return found;
}
