/** Which group of a procedure a measured screw belongs to, or that it cannot be told. */
import headTable from "@shared/fastener_heads.json";
import type { Fastener } from "./procedure.ts";

/** How far a reading may be off either way. A guess: nobody has measured how well people read a calliper at this bench. */
export const MEASURE_TOLERANCE_UM = 150;
/** Longer than any screw of a telephone or tablet (common practice, no source): such a number is a typing slip. */
const LONGEST_UM = 50_000;

export type Measured = {
  readonly length_um: number;
  /** Shape of the head as shared/fastener_heads.json names it; null when nobody checked. */
  readonly head: string | null;
  readonly drive: string | null;
};

export type Match =
  | { readonly kind: "one"; readonly fastener: Fastener; readonly off_um: number }
  /** Several groups lie within the tolerance: the nearest first. */
  | { readonly kind: "close"; readonly fasteners: readonly Fastener[] }
  | { readonly kind: "none"; readonly nearest: Fastener | null };

/**
 * The one group within the tolerance; all of them when there are several; else none, with the nearest. A length under
 * the head and one over all cannot be compared, so a head that was looked at leaves only groups with that head.
 */
export function matchScrew(measured: Measured, fasteners: readonly Fastener[]): Match {
  const off = (f: Fastener): number => Math.abs(f.length_um - measured.length_um);
  const fitting = fasteners
    .filter((f) => measured.head === null || f.head === measured.head)
    .filter((f) => measured.drive === null || f.drive === measured.drive)
    .sort((a, b) => off(a) - off(b));
  const [first, ...others] = fitting.filter((f) => off(f) <= MEASURE_TOLERANCE_UM);
  if (first === undefined) return { kind: "none", nearest: fitting[0] ?? null };
  if (others.length > 0) return { kind: "close", fasteners: [first, ...others] };
  return { kind: "one", fastener: first, off_um: first.length_um - measured.length_um };
}

/** From where to where a length is measured for a shape of head; null for a shape that the table does not have. */
export const measuredFrom = (head: string): string | null =>
  (headTable.heads as Readonly<Record<string, { readonly measured: string }>>)[head]?.measured ?? null;

/** "3.1", "3,1" or "3.1 mm" as micrometres; null when it cannot be the length of a screw. */
export function readMm(text: string): number | null {
  const digits = /^\s*(\d{1,2})(?:[.,](\d{1,3}))?\s*(?:mm)?\s*$/.exec(text);
  if (digits === null) return null;
  const um = Number(digits[1]) * 1000 + Number((digits[2] ?? "").padEnd(3, "0"));
  return um > 0 && um <= LONGEST_UM ? um : null;
}
