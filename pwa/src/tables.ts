/** The rule tables of shared/ that every screen needs, as this program was built with them. Others: tables/. */
import eventsTable from "@shared/events.json";
import problemsTable from "@shared/problems.json";
import stagesTable from "@shared/stages.json";

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
export type ProblemText = { readonly title: string; readonly next: string };
export const problems = problemsTable.problems as Readonly<Record<Slug, ProblemText>>;
