/** Small sentences that several counter screens say alike. */

import { shop } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { isBookedShort } from "../../rules/handOver.ts";
import { CALL_FIRST } from "../../rules/telling.ts";
import { notShown } from "../../rules/tests.ts";
import { money } from "../../words/format.ts";
import { pointNames } from "../../words/points.ts";

/** What a price was agreed for a job; an unsafe device is booked in without a word of it. */
export const jobPriceWords = (job: Job): string =>
  isBookedShort(job) && job.price_limit_minor === null ? "Not spoken of" : priceWords(job.price_limit_minor);

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

/** What could not be shown of a device that stayed locked. */
export function notShownWords(job: Job): string {
  const points = notShown(job);
  return points.length === 0 ? "Nothing was left out for it yet." : `Could not be shown: ${pointNames(points)}.`;
}
