/** What is tested, and what holds when the device stays locked. */
import testPointsTable from "@shared/test_points.json";
import wordsTable from "@shared/words.json";

export type TestPoint = {
  readonly name: string;
  readonly how: string;
  readonly group: string;
  readonly serves: readonly string[];
  readonly stages: readonly string[];
  /** Not every model has it. */
  readonly some_models?: true;
  /** What the test leaves on the customer's device, and how it is removed. */
  readonly leaves?: { readonly what: string; readonly undo: string };
  readonly locked: Locked;
};
/** What holds when the device stays locked. */
export type Locked =
  | { readonly test: "usual" }
  | { readonly test: "other"; readonly how: string }
  | { readonly test: "none"; readonly why: string };
export const lockedWords = testPointsTable.locked;
/** The word of each value of a reason. */
export const becauseWord = wordsTable.values.because;
/** The reason on the reading of a point that the model does not have. */
export const lackingWhy = becauseWord.lacking;
/** The reason on the reading of a point that the lock bars. */
export const lockedReason = becauseWord.locked;
/** Looked up by slugs from events, which may say `constructor`: nothing may be inherited. */
export const testPoints: Readonly<Record<string, TestPoint>> = Object.assign(
  Object.create(null),
  testPointsTable.points,
);
export const testGroups = testPointsTable.groups as Readonly<Record<string, string>>;
