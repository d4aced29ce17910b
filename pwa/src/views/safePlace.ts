/** The safe place: what lies there and for how long, what belongs there and does not, and what of it can be collected. */
import { state } from "../current.ts";
import { contactCard } from "../facts/people.ts";
import { jobOfDevice, lyingFacts } from "../facts/safePlace.ts";
import { placeOf, thingsAt } from "../facts/things.ts";
import type { Thing } from "../fold/state.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { isUnsafe } from "../rules/safePlace.ts";
import { cautionWords } from "../words/battery.ts";
import { groupCode, spanWords } from "../words/format.ts";
import { valueWord } from "../words/values.ts";

export type Kept = {
  readonly code: string;
  readonly thing: Thing;
  /** When it was brought, by the last record that says so. */
  readonly since_ms: number;
  readonly clash: boolean;
};

/** Everything that lies in the safe place, the longest first. */
export const inSafePlace = (): readonly Kept[] =>
  thingsAt("safe")
    .map((code) => {
      const thing = state.value.thing.get(code) as Thing;
      const brought = Object.values(thing.heads).filter((h) => h.to === "safe");
      return {
        code,
        thing,
        since_ms: Math.max(...brought.map((h) => h.at_ms)),
        clash: placeOf(thing).kind === "clash",
      };
    })
    .sort((a, b) => a.since_ms - b.since_ms || (a.code < b.code ? -1 : 1));

/** What has left the shop is nobody's here any more. */
const GONE: readonly string[] = ["safe", "customer", "supplier", "recycler", "lost"];

/** Unsafe batteries, and devices with one, that are recorded at another place in the shop. */
export function belongInSafePlace(): readonly string[] {
  const found: string[] = [];
  for (const [code, thing] of state.value.thing) {
    const place = placeOf(thing);
    if (place.kind !== "at" || GONE.includes(place.to)) continue;
    const isShipped = state.value.box.get(place.to)?.shipped != null;
    if (!isShipped && isUnsafe(lyingFacts(code))) found.push(code);
  }
  return found.sort();
}

/** The state of its battery, in words. */
export function cellWords(code: string): string {
  if (!code.startsWith("D"))
    return cautionWords(state.value.thing.get(code)?.shipping_caution ?? null) ?? "No battery is noted";
  const job = jobOfDevice(code);
  if (job?.cell === "out") return "Its battery was taken out";
  if (job === undefined || !isCellUnsafe(job)) return "No unsafe battery is noted";
  return job.cell === null ? "Battery unsafe" : `Battery ${valueWord("battery", job.cell)}`;
}

/** Whose it is: the job it came from, with its device and customer; null for a part of no job. */
export function whoseJob(thing: Thing): string | null {
  if (thing.job === null) return null;
  const job = state.value.job.get(thing.job);
  const words = [`Job ${groupCode(thing.job)}`, job?.model, contactCard(job?.contact ?? null)?.name];
  return words.filter((word) => word !== undefined && word !== null && word !== "").join(", ");
}

/** "3 in the safe place, oldest 4 days"; what belongs there and does not lie there is said first. Null when there is nothing. */
export function safePlaceLine(nowMs: number): string | null {
  const [kept, missing] = [inSafePlace(), belongInSafePlace().length];
  const oldest = kept[0];
  const here = oldest === undefined ? null : `${kept.length} in the safe place, oldest ${ageWords(oldest, nowMs)}`;
  if (missing === 0) return here;
  const away = `${missing} unsafe and not in the safe place`;
  return here === null ? away : `${away}; ${here}`;
}

/** A station's clock may be a little behind the one that wrote the move. */
export const ageWords = ({ since_ms }: Kept, nowMs: number): string => spanWords(Math.max(0, nowMs - since_ms));
