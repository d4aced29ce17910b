/** What was put away (F5.11): the marks that stay of it in the live state. */
import type { Collection } from "../tables.ts";
import type { Range } from "./records.gen.ts";

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/** The collections whose records can be put away. Their keys are codes. */
export const PUT_AWAY: readonly Collection[] = ["job", "thing", "box"];

/** The incarnation that minted a code (F1.3). */
export const prefixOf = (code: string): string => code.slice(1, 4);

/** The counter that a code was made from (F1.2). */
export function counterOf(code: string): number {
  let counter = 0;
  for (const digit of code.slice(4, 9)) counter = counter * 32 + ALPHABET.indexOf(digit);
  return counter;
}

/** Whether a counter is in one of the ranges. */
export function holds(ranges: readonly Range[], counter: number): boolean {
  const range = ranges[startingAfter(ranges, counter) - 1];
  return range !== undefined && counter <= range[1];
}

/** The ranges with one more counter: in ascending order, none touching the next. */
export function withCounter(ranges: readonly Range[], counter: number): readonly Range[] {
  if (holds(ranges, counter)) return ranges;
  const place = startingAfter(ranges, counter);
  const before = ranges.slice(0, place);
  const after = ranges.slice(place);
  let [low, high] = [counter, counter];
  if (before.at(-1)?.[1] === counter - 1) low = (before.pop() as Range)[0];
  if (after[0]?.[0] === counter + 1) high = (after.shift() as Range)[1];
  return [...before, [low, high], ...after];
}

/** The place of the first range that starts after a counter. */
function startingAfter(ranges: readonly Range[], counter: number): number {
  let [from, to] = [0, ranges.length];
  while (from < to) {
    const middle = (from + to) >> 1;
    if ((ranges[middle] as Range)[0] > counter) to = middle;
    else from = middle + 1;
  }
  return from;
}
