/** What was scanned or typed: the app's one reading of it. Where it leads depends on the state (facts/leadsTo.ts). */
import { ok, type Result } from "../problem.ts";
import { type CodeKind, parseCode, parseImei, staffIdOf } from "./codes.ts";

export type Scanned =
  | { readonly is: "code"; readonly kind: CodeKind; readonly code: string }
  | { readonly is: "badge"; readonly badge: string; readonly staff: string }
  | { readonly is: "ticket"; readonly token: string }
  | { readonly is: "imei"; readonly imei: string }
  | { readonly is: "join"; readonly code: string }
  /** Not one of ours, such as a serial number or a supplier's bar code. As it was read. */
  | { readonly is: "other"; readonly text: string };

/** `code-check-failed`, `imei-check-failed`: the form is right, but a character is wrong. */
export function readScan(text: string): Result<Scanned> {
  const seen = text.trim();
  const join = /#\/join\/([0-9A-Za-z-]+)$/.exec(seen)?.[1];
  if (join !== undefined) return ok({ is: "join", code: join });
  const ticket = /\/T\/([0-9A-HJKMNP-TV-Z]{26})$/i.exec(seen)?.[1];
  if (ticket !== undefined) return ok({ is: "ticket", token: ticket.toUpperCase() });
  if (/^[0-9\s-]+$/.test(seen) && seen.replace(/[\s-]/g, "").length === IMEI_DIGITS) {
    const imei = parseImei(seen);
    return imei.ok ? ok({ is: "imei", imei: imei.value }) : imei;
  }
  const code = parseCode(seen);
  if (!code.ok) return code.problem.slug === "code-unreadable" ? ok({ is: "other", text: seen }) : code;
  const { kind, code: plain } = code.value;
  return ok(kind === "W" ? { is: "badge", badge: plain, staff: staffIdOf(plain) } : { is: "code", kind, code: plain });
}

const IMEI_DIGITS = 15;
