/** What was put away (F5.11): the marks that stay of it in the live state. */
import { ALPHABET, type CodeKind, KINDS, mint } from "../codes/codes.ts";
import type { Collection } from "../tables.ts";
import type { Range } from "./records.gen.ts";

/** The collections whose records can be put away. Their keys are codes. */
export const PUT_AWAY: readonly Collection[] = ["job", "thing", "box"];

/** The kind of code that is never put away, and may be printed long before it is used. */
export const TRAY = "T";

/**
 * Ranges with no more counters between them are joined when there is no record under any of those. Most of such
 * counters were never used: one in seven gives no code of a kind (F1.2).
 */
const MOST_BETWEEN = 16;

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

/** The ranges with one more counter. `isBare` tells that there is no record under a counter. */
export function withCounter(
  ranges: readonly Range[],
  counter: number,
  isBare: (counter: number) => boolean,
): readonly Range[] {
  if (holds(ranges, counter)) return ranges;
  const joins = (before: number, after: number): boolean => {
    if (after - before - 1 > MOST_BETWEEN) return false;
    for (let between = before + 1; between < after; between += 1) if (!isBare(between)) return false;
    return true;
  };
  const place = startingAfter(ranges, counter);
  const before = ranges.slice(0, place);
  const after = ranges.slice(place);
  let [low, high] = [counter, counter];
  const [left, right] = [before.at(-1), after[0]];
  if (left !== undefined && joins(left[1], counter)) low = (before.pop() as Range)[0];
  if (right !== undefined && joins(counter, right[0])) high = (after.shift() as Range)[1];
  return [...before, [low, high], ...after];
}

/** The codes that a counter can give, one of each kind at most. */
export const codesOf = (prefix: string, counter: number): readonly string[] =>
  [...KINDS]
    .map((kind) => mint(kind as CodeKind, prefix, counter))
    .filter((minted) => minted.counter === counter)
    .map((minted) => minted.code);

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
