/** The field types of F2.5, compiled from their notation in events.json into checks. */
import { enums, places } from "../tables.ts";

export type Check = (value: unknown) => boolean;

const LETTER = "[0-9A-HJKMNP-TV-Z]";
const CODE = new RegExp(`^[JDTPCB]${LETTER}{9}$`);
const PATTERNS: Readonly<Record<string, RegExp>> = {
  slug: /^[a-z][a-z0-9_-]{0,39}$/,
  hash: /^[0-9a-f]{64}$/,
  photo: /^[0-9a-f]{64}$/,
  words: /^[0-9a-f]{64}$/,
  event: new RegExp(`^${LETTER}{3}\\.[1-9][0-9]{0,15}$`),
  ref: /^[a-z0-9]{20}$/,
  token: new RegExp(`^${LETTER}{26}$`),
  incarnation: new RegExp(`^${LETTER}{3}$`),
};
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what F2.5 forbids
const BAD_TEXT = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/;

/** The check for a type such as `text(80)` or `list(enum(sign),4)`. Throws for a notation that is not F2.5. */
export function checkOf(notation: string): Check {
  const match = /^([a-z_]+)(?:\((.*)\))?$/.exec(notation);
  if (match === null) throw new Error(notation);
  const name = match[1] as string;
  const args = match[2] ?? "";
  switch (name) {
    case "list": {
      const comma = args.lastIndexOf(",");
      const inner = checkOf(args.slice(0, comma));
      const most = Number(args.slice(comma + 1));
      return (v) => Array.isArray(v) && v.length <= most && v.every(inner);
    }
    case "text": {
      const most = Number(args);
      return (v) => typeof v === "string" && isText(v, most);
    }
    case "int": {
      const [low, high] = args.split(",").map(Number) as [number, number];
      return (v) => typeof v === "number" && Number.isSafeInteger(v) && low <= v && v <= high;
    }
    case "enum":
    case "enum_of": {
      const allowed = new Set(name === "enum" ? enums[args] : args.split(","));
      return (v) => typeof v === "string" && allowed.has(v);
    }
    case "code": {
      const kindsOfCode = args.replaceAll(",", "") || "JDTPCB";
      return (v) => isCode(v) && kindsOfCode.includes(v.charAt(0));
    }
    case "place":
      return (v) => typeof v === "string" && (places.has(v) || isCode(v));
    default: {
      const pattern = PATTERNS[name];
      if (pattern === undefined) throw new Error(notation);
      return (v) => typeof v === "string" && pattern.test(v);
    }
  }
}

/** Whether this has the form of a code (F1.2). Its check character was tested when it was scanned. */
export function isCode(value: unknown): value is string {
  return typeof value === "string" && CODE.test(value);
}

/** The fields of a kind that can hold codes, for the trace. */
export function codeFields(fields: Readonly<Record<string, string>>): readonly string[] {
  return Object.entries(fields)
    .filter(([, notation]) => /^(?:list\()?(?:code|place)/.test(notation))
    .map(([name]) => name.replace(/\?$/, ""));
}

/** The fields of a kind that name texts (F7.9), each with how long its text may be. */
export function wordFields(fields: Readonly<Record<string, string>>): readonly (readonly [string, number])[] {
  return Object.entries(fields)
    .filter(([, notation]) => notation.startsWith("words"))
    .map(([name, notation]) => [name.replace(/\?$/, ""), Number(notation.slice("words(".length, -1))] as const);
}

/** Whether this is a text of F2.5, at most so many code points long. */
export function isText(value: string, most: number): boolean {
  if (value.length === 0 || value.length > 2 * most || BAD_TEXT.test(value)) return false;
  return value.length <= most || [...value].length <= most;
}
