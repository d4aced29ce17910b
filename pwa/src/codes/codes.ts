/** Codes of things, badges and IMEI numbers (F1); check characters by ISO/IEC 7064 MOD 37-2, Luhn by 3GPP TS 23.003 Annex B. */
import { ok, type Result, refuse } from "../problem.ts";

export const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
export const KINDS = "JDTPCB";
export type CodeKind = "J" | "D" | "T" | "P" | "C" | "B";

const CHECK_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
const MOST_COUNTER = 32 ** 5 - 1;

/** The check character of upper-case letters and digits; may be `*`. Throws on other letters. */
export function checkCharacter(body: string): string {
  let sum = 0;
  for (const letter of body) {
    const value = CHECK_ALPHABET.indexOf(letter);
    if (value === -1 || value === 36) throw new RangeError(`no check character over ${letter}`);
    sum = ((sum + value) * 2) % 37;
  }
  return CHECK_ALPHABET.charAt((38 - sum) % 37);
}

/**
 * The first code at or above a counter whose check character lies in the code alphabet, and the counter it was made
 * from (F1.2). Throws when kind, prefix or counter is invalid, or no counter is left.
 */
export function mint(
  kind: CodeKind,
  prefix: string,
  counter: number,
): { readonly code: string; readonly counter: number } {
  if (!isKind(kind) || prefix.length !== 3 || !inAlphabet(prefix) || !Number.isInteger(counter) || counter < 0) {
    throw new RangeError(`no code of kind ${kind}, prefix ${prefix} and counter ${counter}`);
  }
  for (let used = counter; used <= MOST_COUNTER; used += 1) {
    const body = kind + prefix + base32(used);
    const check = checkCharacter(body);
    if (inAlphabet(check)) return { code: body + check, counter: used };
  }
  throw new RangeError(`all counters of prefix ${prefix} are used`);
}

export type Code = { readonly code: string; readonly kind: CodeKind | "W" };

/** A scanned or typed code (F1.4, F1.5). `code-unreadable`, `code-check-failed`. */
export function parseCode(text: string): Result<Code> {
  const plain = forgive(text);
  const kind = plain.charAt(0);
  const length = kind === "W" ? 20 : 10;
  if (!(kind === "W" || isKind(kind)) || plain.length !== length || !inAlphabet(plain.slice(1))) {
    return refuse("code-unreadable");
  }
  if (checkCharacter(plain.slice(0, -1)) !== plain.slice(-1)) return refuse("code-check-failed");
  return ok({ code: plain, kind });
}

/** The part of a badge's code that is not secret (F1.5). */
export const staffIdOf = (badge: string): string => badge.slice(0, 4);

/** A code as people read it: groups of five. */
export const group = (code: string): string => code.match(/.{1,5}/g)?.join(" ") ?? "";

/** Check digit of the first 14 digits of an IMEI. Throws on anything else. */
export function imeiCheckDigit(digits: string): string {
  if (!/^[0-9]{14}$/.test(digits)) throw new RangeError("14 digits were expected");
  let sum = 0;
  [...digits].forEach((c, i) => {
    const d = Number(c) * (i % 2 === 1 ? 2 : 1);
    sum += d > 9 ? d - 9 : d;
  });
  return String((10 - (sum % 10)) % 10);
}

/** An IMEI of exactly 15 digits; spaces and hyphens are dropped. `imei-length`, `imei-check-failed`. */
export function parseImei(text: string): Result<string> {
  const digits = text.replace(/[\s-]/g, "");
  if (!/^[0-9]{15}$/.test(digits)) return refuse("imei-length");
  return imeiCheckDigit(digits.slice(0, 14)) === digits.slice(14) ? ok(digits) : refuse("imei-check-failed");
}

function forgive(text: string): string {
  return text.replace(/[\s-]/g, "").toUpperCase().replaceAll("O", "0").replace(/[IL]/g, "1");
}

const isKind = (letter: string): letter is CodeKind => letter.length === 1 && KINDS.includes(letter);

const inAlphabet = (text: string): boolean => [...text].every((letter) => ALPHABET.includes(letter));

function base32(n: number): string {
  let text = "";
  for (let rest = n, i = 0; i < 5; i += 1, rest = Math.floor(rest / 32)) text = ALPHABET.charAt(rest % 32) + text;
  return text;
}
