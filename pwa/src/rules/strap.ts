/** The daily check of the wrist strap against its limit. */

/** Wrist strap system: resistance below 35 megohm, the limit itself excluded (ANSI/ESD S20.20, IEC 61340-5-1; both from secondary sources). */
export const STRAP_LIMIT_OHMS = 35_000_000;

export const strapPasses = (ohms: number, limitOhms: number): boolean => ohms < limitOhms;

export type OhmUnit = "k" | "M";
const FACTOR: Readonly<Record<OhmUnit, number>> = { k: 1_000, M: 1_000_000 };

/** Whole ohms from a number as typed, comma or point; null when it is no number a meter shows. */
export function readOhms(text: string, unit: OhmUnit): number | null {
  const plain = text.trim().replace(",", ".");
  if (!/^[0-9]{1,6}(\.[0-9]{1,3})?$/.test(plain)) return null;
  return Math.round(Number(plain) * FACTOR[unit]);
}
