/** Events as sentences: the text of events.json with its gaps filled in words. The server says the same on paper. */
import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { procedure, supplierName } from "../facts/catalogue.ts";
import { said } from "../facts/texts.ts";
import type { Because, Job, TextId } from "../fold/state.ts";
import { becauseWords } from "../rules/because.ts";
import { derive } from "../rules/procedure.ts";
import { testPoints } from "../tables/testPoints.ts";
import { kinds } from "../tables.ts";
import { groupCode } from "../words/format.ts";
import { toldWords } from "../words/told.ts";
import { plain, valueWord } from "../words/values.ts";
import { line } from "./recordWords.ts";

/** What an event says, for a person; in the trace of `about` that thing is not named in full again. An event of a newer version is named as such. */
export function sentence(event: Event, about: string | null = null): string {
  const spec = event.known ? kinds[event.kind] : undefined;
  if (spec === undefined) return line("newer", { kind: plain(event.kind) });
  return spec.text.replace(/\{(\w+)\}/g, (_, field: string) => filled(event, field, about));
}

/** What a person wrote or chose that the sentence leaves out: reasons, notes, references. */
export function remarks(event: Event): readonly string[] {
  if (!event.known) return [];
  const { text = "" } = kinds[event.kind] ?? {};
  return REMARKS.filter((field) => !text.includes(`{${field}}`))
    .map((field) => remarkIn(event, field))
    .filter((remark) => remark !== null);
}

const REMARKS = ["complaint", "because", "why", "note", "reference", "replaced_by", "say", "owner_told", "paper"];

/** What a person wrote or chose in a field; null for a field of another type, and for none. */
function remarkIn(event: Event, field: string): string | null {
  const value = event.body[field];
  if (typeof value !== "string") return null;
  const notation = notationOf(event, field);
  if (notation === "enum(because)") return becauseWords(String(event.body.point), value as Because);
  if (notation.startsWith("words")) return said(value as unknown as TextId);
  return notation.startsWith("text") ? value : null;
}

/** The type of a field (F2.5). */
function notationOf(event: Event, field: string): string {
  const fields = kinds[event.kind]?.fields ?? {};
  return fields[field] ?? fields[`${field}?`] ?? "";
}

/** What a thing is called: its name when it has one, and its code. */
export function thingName(code: string): string {
  const job = state.value.job.get(code);
  const name = state.value.thing.get(code)?.name ?? job?.model ?? null;
  const kind = KIND_WORDS[code.charAt(0)] ?? "Thing";
  return name === null ? `${kind} ${groupCode(code)}` : `${kind} ${groupCode(code)}, ${name}`;
}

export const KIND_WORDS: Readonly<Record<string, string>> = recordTable.things;

/** The end of "moved to ...". */
export function placeName(place: string): string {
  const named = TO_PLACES[place];
  if (named !== undefined) return named;
  const kind = KIND_WORDS[place.charAt(0)]?.toLowerCase() ?? "place";
  return `${kind} ${groupCode(place)}`;
}

const TO_PLACES: Readonly<Record<string, string>> = recordTable.moved_to;

function filled(event: Event, field: string, about: string | null): string {
  const value = event.body[field];
  if (value === undefined || value === null) return line("not_said");
  const notation = notationOf(event, field);
  if (typeof value === "number") return value.toLocaleString("en");
  if (typeof value !== "string") return String(value);
  if (notation.startsWith("enum")) return valueWord(notation.slice(5, -1), value);
  if (notation.startsWith("code")) return coded(field, value, about);
  if (notation === "place") return placeName(value);
  if (notation.startsWith("words")) return said(value as unknown as TextId);
  return notation === "slug" ? slugWord(event, field, value) : value;
}

/** Texts say "Part {part}", so only the field that may hold any kind of thing brings its own word. */
function coded(field: string, code: string, about: string | null): string {
  if (field !== "thing") return groupCode(code);
  return code === about ? (KIND_WORDS[code.charAt(0)] ?? "Thing") : thingName(code);
}

/** The revision that an event names, else the one that its job follows (F7.4). */
const revisionOf = (event: Event, job: Job | undefined): number | null =>
  typeof event.body.revision === "number" ? event.body.revision : (job?.revision ?? null);

/** A name that the tables, the catalogue or the job's own procedure gives to a slug; else the slug, spelt out. */
function slugWord(event: Event, field: string, value: string): string {
  if (field === "supplier") return supplierName(value) === value ? plain(value) : supplierName(value);
  if (event.kind === "customer.told") return toldWords(value);
  if (field === "point") return testPoints[value]?.name ?? plain(value);
  const job = event.job === null ? undefined : state.value.job.get(event.job);
  if (field === "procedure") return procedure(value, revisionOf(event, job))?.title ?? plain(value);
  const followed = procedure(job?.procedure ?? null, job?.revision ?? null);
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
