/** Turns untrusted text into an event, or names the first fault in it (F2). */
import { type KindSpec, kinds, type Slug } from "../tables.ts";
import { type Check, checkOf, isCode } from "./fieldTypes.ts";

export type Body = Readonly<Record<string, unknown>>;

/** A sound event. `known` is false for a kind or version that this program does not know (F2.7). */
export type Event = {
  readonly v: number;
  readonly kind: string;
  readonly station: string;
  readonly incarnation: string;
  readonly seq: number;
  readonly staff: string | null;
  readonly at_ms: number;
  readonly job: string | null;
  readonly body: Body;
  readonly known: boolean;
};

/** Why text is not an event, with the JSON Pointer of the first fault. */
export type Rejected = { readonly slug: Slug; readonly pointer: string };

export const isEvent = (value: Event | Rejected): value is Event => "kind" in value;

/** Event id (F1.8). */
export const eventId = (event: Event): string => `${event.incarnation}.${event.seq}`;

const MAX_BYTES = 16_384;
const MAX_DEPTH = 16;
const MEMBERS = ["v", "kind", "station", "incarnation", "seq", "staff", "at_ms", "job", "body"] as const;
const KIND = /^[a-z]{1,20}\.[a-z_]{1,30}$/;
const THREE = "[0-9A-HJKMNP-TV-Z]{3}";
const STATION = new RegExp(`^S${THREE}$`);
const STAFF = new RegExp(`^W${THREE}$`);
const INCARNATION = new RegExp(`^${THREE}$`);

/** Check text by F2.2 to F2.7. Throws nothing. */
export function parse(text: string): Event | Rejected {
  if (text.length > MAX_BYTES || new TextEncoder().encode(text).length > MAX_BYTES) return no("event-too-large");
  if (text.includes("\n") || text.startsWith("\ufeff")) return no("event-not-json");
  const outside = text.replace(/"(?:[^"\\]|\\[\s\S])*"/g, '""');
  if (hasOddNumber(outside)) return no("bad-field");
  if (depth(outside) > MAX_DEPTH || hasLoneSurrogate(text)) return no("event-not-json");
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return no("event-not-json");
  }
  if (typeof value !== "object" || value === null || Array.isArray(value)) return no("event-not-json");
  return envelope(value as Record<string, unknown>);
}

function envelope(value: Record<string, unknown>): Event | Rejected {
  for (const name of MEMBERS) if (!Object.hasOwn(value, name)) return no("envelope-field", `/${name}`);
  const unknown = firstUnknown(value, (name) => (MEMBERS as readonly string[]).includes(name));
  if (unknown !== null) return no("unknown-field", `/${unknown}`);
  const { v, kind, station, incarnation, seq, staff, at_ms, job, body } = value;
  if (!whole(v, 1, 1_000_000)) return no("envelope-field", "/v");
  if (!matches(kind, KIND)) return no("envelope-field", "/kind");
  if (!matches(station, STATION)) return no("envelope-field", "/station");
  if (!matches(incarnation, INCARNATION)) return no("envelope-field", "/incarnation");
  if (!whole(seq, 1, Number.MAX_SAFE_INTEGER)) return no("envelope-field", "/seq");
  if (staff !== null && !matches(staff, STAFF)) return no("envelope-field", "/staff");
  if (!whole(at_ms, 0, Number.MAX_SAFE_INTEGER)) return no("envelope-field", "/at_ms");
  if (job !== null && !(isCode(job) && job.startsWith("J"))) return no("envelope-field", "/job");
  if (typeof body !== "object" || body === null || Array.isArray(body)) return no("envelope-field", "/body");
  const rule = v === 1 && Object.hasOwn(RULES, kind) ? RULES[kind] : undefined;
  const event: Event = {
    v, kind, station, incarnation, seq, staff, at_ms, job, body: body as Body, known: rule !== undefined,
  }; // biome-ignore format: one line of members, as in the format
  if (rule === undefined) return event;
  if (rule.needsJob && job === null) return no("envelope-field", "/job");
  return rule.fault(body as Body) ?? event;
}

class Rule {
  readonly needsJob: boolean;
  readonly #required: ReadonlyMap<string, Check>;
  readonly #optional: ReadonlyMap<string, Check>;

  constructor(spec: KindSpec) {
    const fields = Object.entries(spec.fields);
    this.needsJob = spec.job === true;
    this.#required = new Map(fields.filter(([n]) => !n.endsWith("?")).map(([n, t]) => [n, checkOf(t)]));
    this.#optional = new Map(fields.filter(([n]) => n.endsWith("?")).map(([n, t]) => [n.slice(0, -1), checkOf(t)]));
  }

  fault(body: Body): Rejected | null {
    for (const [name, check] of this.#required) {
      if (!Object.hasOwn(body, name)) return no("missing-field", `/body/${name}`);
      if (!check(body[name])) return no("bad-field", `/body/${name}`);
    }
    for (const [name, check] of this.#optional) {
      if (Object.hasOwn(body, name) && !check(body[name])) return no("bad-field", `/body/${name}`);
    }
    const unknown = firstUnknown(body, (name) => this.#required.has(name) || this.#optional.has(name));
    return unknown === null ? null : no("unknown-field", `/body/${unknown}`);
  }
}

const RULES: Readonly<Record<string, Rule>> = Object.fromEntries(
  Object.entries(kinds).map(([kind, spec]) => [kind, new Rule(spec)]),
);

const no = (slug: Slug, at = ""): Rejected => ({ slug, pointer: at });

function whole(value: unknown, low: number, high: number): value is number {
  return typeof value === "number" && Number.isSafeInteger(value) && low <= value && value <= high;
}

function matches(value: unknown, pattern: RegExp): value is string {
  return typeof value === "string" && pattern.test(value);
}

/** F2.4, in the text without its strings: JSON.parse takes 1.0, 1e2 and -0 for whole numbers and rounds large ones. */
function hasOddNumber(outside: string): boolean {
  if (/-0|[0-9][.eE]/.test(outside)) return true;
  return (outside.match(/[0-9]{16,}/g) ?? []).some((digits) => digits.length > 16 || digits > MAX_INT);
}

const MAX_INT = String(Number.MAX_SAFE_INTEGER);

/** How deep arrays and objects are nested. */
function depth(outside: string): number {
  let now = 0;
  let deepest = 0;
  for (const c of outside) {
    if (c === "[" || c === "{") now += 1;
    else if (c === "]" || c === "}") now -= 1;
    deepest = Math.max(deepest, now);
  }
  return deepest;
}

/** A lone surrogate written as an escape; JSON.parse accepts it. */
function hasLoneSurrogate(text: string): boolean {
  if (!/\\u[dD]/.test(text)) return false;
  const units = text.replace(/\\(?:u([0-9a-fA-F]{4})|[\s\S])/g, (_, hex?: string) =>
    hex === undefined ? "_" : String.fromCharCode(Number.parseInt(hex, 16)),
  );
  return /[\ud800-\udbff](?![\udc00-\udfff])|(?:[^\ud800-\udbff]|^)[\udc00-\udfff]/.test(units);
}

/** The pointer token, smallest in ASCII order, of a member that does not belong: JavaScript does not keep all members in order. */
function firstUnknown(value: Body, belongs: (name: string) => boolean): string | null {
  const tokens = Object.keys(value)
    .filter((name) => !belongs(name))
    .map(pointer);
  return tokens.reduce<string | null>((first, token) => (first === null || token < first ? token : first), null);
}

/** A member name as a JSON Pointer token (RFC 6901), shortened and made harmless. */
function pointer(name: string): string {
  return [...name]
    .slice(0, 60)
    .map((c) => (c.length === 1 && c.charCodeAt(0) < 128 ? c : "?"))
    .join("")
    .replaceAll("~", "~0")
    .replaceAll("/", "~1");
}
