/** Codes of things, badges and IMEI numbers (F1); check characters by ISO/IEC 7064 MOD 37-2, Luhn by 3GPP TS 23.003 Annex B. */
import { ok, type Result, refuse } from "../problem.ts";

export const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
export const KINDS = "JDTPCB";
export type CodeKind = "J" | "D" | "T" | "P" | "C" | "B";

const CHECK_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
const MOST_COUNTER = 32 ** 5 - 1;

/** ISO/IEC 7064 MOD 37-2: the check character of upper-case letters and digits; may be `*`. */
export function checkCharacter(body: string): string {
  let sum = 0;
  for (const c of body) sum = ((sum + CHECK_ALPHABET.indexOf(c)) * 2) % 37;
  return CHECK_ALPHABET.charAt((38 - sum) % 37);
}

/** The first code at or above a counter whose check character lies in the code alphabet (F1.2). Throws when the prefix is used up. */
export function mint(kind: CodeKind, prefix: string, counter: number): { readonly code: string; readonly counter: number } {
  for (let n = counter; n <= MOST_COUNTER; n += 1) {
    const body = kind + prefix + base32(n);
    const check = checkCharacter(body);
    if (ALPHABET.includes(check)) return { code: body + check, counter: n };
  }
  throw new RangeError("all codes of this prefix are used");
}

export type Code = { readonly code: string; readonly kind: CodeKind | "W" };

/** A scanned or typed code (F1.4, F1.5). `code-unreadable`, `code-check-failed`. */
export function parseCode(text: string): Result<Code> {
  const plain = forgive(text);
  const kind = plain.charAt(0);
  const length = kind === "W" ? 20 : 10;
  const known = kind === "W" || (kind !== "" && KINDS.includes(kind));
  if (!known || plain.length !== length || ![...plain.slice(1)].every((c) => ALPHABET.includes(c))) {
    return refuse("code-unreadable");
  }
  if (checkCharacter(plain.slice(0, -1)) !== plain.slice(-1)) return refuse("code-check-failed");
  return ok({ code: plain, kind: kind as CodeKind | "W" });
}

/** Check digit of the first 14 digits of an IMEI. */
export function imeiCheckDigit(digits: string): string {
  let sum = 0;
  [...digits].forEach((c, i) => {
    const d = Number(c) * (i % 2 === 1 ? 2 : 1);
    sum += d > 9 ? d - 9 : d;
  });
  return String((10 - (sum % 10)) % 10);
}

/** An IMEI of exactly 15 digits, spaces and hyphens forgiven. `imei-length`, `imei-check-failed`. */
export function parseImei(text: string): Result<string> {
  const digits = text.replace(/[\s-]/g, "");
  if (!/^[0-9]{15}$/.test(digits)) return refuse("imei-length");
  return imeiCheckDigit(digits.slice(0, 14)) === digits.slice(14) ? ok(digits) : refuse("imei-check-failed");
}

function forgive(text: string): string {
  return text.replace(/[\s-]/g, "").toUpperCase().replaceAll("O", "0").replace(/[IL]/g, "1");
}

function base32(n: number): string {
  let text = "";
  for (let rest = n, i = 0; i < 5; i += 1, rest = Math.floor(rest / 32)) text = ALPHABET.charAt(rest % 32) + text;
  return text;
}
