/** Small sentences that several counter screens say alike. */
import { money } from "../../ui/format.ts";
import { shop } from "../../views/people.ts";
import { CALL_FIRST } from "../../views/status.ts";

/** The price agreement; null when no limit was named. */
export function priceWords(limitMinor: number | null): string {
  if (limitMinor === null) return "The price is agreed";
  if (limitMinor === CALL_FIRST) return "Call before any cost";
  return `Up to ${amount(limitMinor)} without a call`;
}

function amount(minor: number): string {
  const { currency } = shop();
  return currency === undefined ? (minor / 100).toFixed(2) : money(minor, currency);
}
