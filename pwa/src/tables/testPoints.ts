/** What is tested, and what holds when the device stays locked. */
import testPointsTable from "@shared/test_points.json";

export type TestPoint = {
  readonly name: string;
  readonly how: string;
  readonly group: string;
  readonly serves: readonly string[];
  readonly stages: readonly string[];
  readonly locked: Locked;
};
/** What holds when the device stays locked. */
export type Locked =
  | { readonly test: "usual" }
  | { readonly test: "other"; readonly how: string }
  | { readonly test: "none"; readonly why: string };
export const lockedWords = testPointsTable.locked;
/** Looked up by slugs of events, of which `constructor` is one: nothing is inherited. */
export const testPoints: Readonly<Record<string, TestPoint>> = Object.assign(
  Object.create(null),
  testPointsTable.points,
);
export const testGroups = testPointsTable.groups as Readonly<Record<string, string>>;
