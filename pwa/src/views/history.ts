/** Events as sentences: the text of events.json with its gaps filled in words. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { procedure, supplierName } from "../facts/catalogue.ts";
import { derive } from "../rules/procedure.ts";
import { testPoints } from "../tables/testPoints.ts";
import { kinds } from "../tables.ts";
import { entryWord, plain } from "../words/entries.ts";
import { groupCode } from "../words/format.ts";
import { toldWords } from "../words/told.ts";

/** What an event says, for a person; in the trace of `about` that thing is not named in full again. An event of a newer version is named as such. */
export function sentence(event: Event, about: string | null = null): string {
  const spec = event.known ? kinds[event.kind] : undefined;
  if (spec === undefined) return `From a newer version: ${plain(event.kind)}`;
  return spec.text.replace(/\{(\w+)\}/g, (_, field: string) => filled(event, field, about));
}

/** What a person wrote that the sentence leaves out: reasons, notes, references. */
export function remarks(event: Event): readonly string[] {
  if (!event.known) return [];
  const { text = "", fields = {} } = kinds[event.kind] ?? {};
  const isText = (field: string) => (fields[field] ?? fields[`${field}?`] ?? "").startsWith("text");
  return REMARKS.filter((field) => isText(field) && !text.includes(`{${field}}`))
    .map((field) => event.body[field])
    .filter((value): value is string => typeof value === "string");
}

const REMARKS = ["complaint", "why", "note", "reference", "replaced_by", "say", "owner_told", "paper"] as const;

/** What a thing is called: its name when it has one, and its code. */
export function thingName(code: string): string {
  const job = state.value.job.get(code);
  const name = state.value.thing.get(code)?.name ?? job?.model ?? null;
  const kind = KIND_WORDS[code.charAt(0)] ?? "Thing";
  return name === null ? `${kind} ${groupCode(code)}` : `${kind} ${groupCode(code)}, ${name}`;
}

export const KIND_WORDS: Readonly<Record<string, string>> = {
  J: "Job",
  D: "Device",
  T: "Tray",
  P: "Part",
  C: "Old part",
  B: "Box",
};

/** The end of "moved to ...". */
export function placeName(place: string): string {
  const named = TO_PLACES[place];
  if (named !== undefined) return named;
  const kind = KIND_WORDS[place.charAt(0)]?.toLowerCase() ?? "place";
  return `${kind} ${groupCode(place)}`;
}

const TO_PLACES: Readonly<Record<string, string>> = {
  counter: "the counter",
  shelf: "the shelf",
  bench: "the bench",
  shipping: "the shipping desk",
  safe: "the safe place",
  customer: "the customer",
  supplier: "the supplier",
  recycler: "the recycler",
  bin: "the bin",
  lost: "the list of lost things",
};

function filled(event: Event, field: string, about: string | null): string {
  const value = event.body[field];
  if (value === undefined || value === null) return "not said";
  const fields = kinds[event.kind]?.fields ?? {};
  const notation = fields[field] ?? fields[`${field}?`] ?? "";
  if (typeof value === "number") return value.toLocaleString("en");
  if (typeof value !== "string") return String(value);
  if (notation.startsWith("enum")) return entryWord(notation.slice(5, -1), value);
  if (notation.startsWith("code")) return coded(field, value, about);
  if (notation === "place") return placeName(value);
  return notation === "slug" ? slugWord(event, field, value) : value;
}

/** Texts say "Part {part}", so only the field that may hold any kind of thing brings its own word. */
function coded(field: string, code: string, about: string | null): string {
  if (field !== "thing") return groupCode(code);
  return code === about ? (KIND_WORDS[code.charAt(0)] ?? "Thing") : thingName(code);
}

/** A name that the tables, the catalogue or the job's procedure give to a slug; else the slug itself, spelt out. */
function slugWord(event: Event, field: string, value: string): string {
  if (field === "supplier") return supplierName(value) === value ? plain(value) : supplierName(value);
  if (event.kind === "customer.told") return toldWords(value);
  if (field === "point") return testPoints[value]?.name ?? plain(value);
  if (field === "procedure") return procedure(value)?.title ?? plain(value);
  const followed = procedure(event.job === null ? null : (state.value.job.get(event.job)?.procedure ?? null));
  if (followed === null) return plain(value);
  switch (field) {
    case "step":
      return derive(followed).find((s) => s.id === value)?.title ?? plain(value);
    case "group":
      return followed.fasteners.find((f) => f.id === value)?.name ?? plain(value);
    case "connector":
      return followed.connectors.find((c) => c.id === value)?.name ?? plain(value);
    case "pair":
      return followed.pairs.find((p) => p.id === value)?.name ?? plain(value);
    default:
      return plain(value);
  }
}
