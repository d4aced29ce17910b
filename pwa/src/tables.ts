/** The rule tables of shared/, as this program was built with them. */
import attributionTable from "@shared/attribution.json";
import eventsTable from "@shared/events.json";
import problemsTable from "@shared/problems.json";
import stagesTable from "@shared/stages.json";
import testPointsTable from "@shared/test_points.json";

export type Row = Readonly<Record<string, unknown>>;

export type KindSpec = {
  readonly job?: boolean;
  readonly fields: Readonly<Record<string, string>>;
  readonly text: string;
  readonly effects: readonly Row[];
};

export type Collection = "job" | "thing" | "box" | "staff" | "chain" | "station";
export const COLLECTIONS: readonly Collection[] = ["job", "thing", "box", "staff", "chain", "station"];

export const kinds = eventsTable.kinds as unknown as Readonly<Record<string, KindSpec>>;
export const enums = eventsTable.enums as Readonly<Record<string, readonly string[]>>;
export const places: ReadonlySet<string> = new Set(eventsTable.places);
export const blankRecords = eventsTable.records as unknown as Readonly<Record<Collection, Row>>;

export type StageId = keyof typeof stagesTable.stages;
export type Stage = { readonly name: string; readonly customer: string; readonly next: readonly string[] };
export const stages = stagesTable.stages as Readonly<Record<StageId, Stage>>;
export const stopReasons = stagesTable.stop_reasons as Readonly<
  Record<string, { readonly name: string; readonly customer: string }>
>;

export type Slug = keyof typeof problemsTable.problems;
export type ProblemText = { readonly status: number; readonly title: string; readonly next: string };
export const problems = problemsTable.problems as Readonly<Record<Slug, ProblemText>>;

export type TestPoint = {
  readonly name: string;
  readonly how: string;
  readonly group: string;
  readonly serves: readonly string[];
  readonly stages: readonly string[];
  /** Not every model has it. */
  readonly some_models?: true;
  /** What the test leaves on the customer's device, and how that is taken off again. */
  readonly leaves?: { readonly what: string; readonly undo: string };
  readonly locked: Locked;
};
/** What holds when the device stays locked. */
export type Locked =
  | { readonly test: "usual" }
  | { readonly test: "other"; readonly how: string }
  | { readonly test: "none"; readonly why: string };
export const lockedWords = testPointsTable.locked;
/** The reason on the reading of a point that the model has not. */
export const lackingWhy = testPointsTable.lacking.reason;
/** Looked up by slugs of events, of which `constructor` is one: nothing is inherited. */
export const testPoints: Readonly<Record<string, TestPoint>> = Object.assign(
  Object.create(null),
  testPointsTable.points,
);
export const testGroups = testPointsTable.groups as Readonly<Record<string, string>>;

export type AttributionRow = {
  readonly intake?: readonly string[];
  readonly prefit?: readonly string[];
  readonly final?: readonly string[];
  readonly verdict: string;
};
export type Verdict = {
  readonly name: string;
  readonly owner: string;
  readonly blocks_ready: boolean;
  readonly say: string;
};
export const attributionRows = attributionTable.rows as readonly AttributionRow[];
export const verdicts = attributionTable.verdicts as Readonly<Record<string, Verdict>>;
