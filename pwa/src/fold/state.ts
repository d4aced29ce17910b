/** What the fold makes: records by collection and key (F5.1). The records are generated from events.json. */
import type { Collection } from "../tables.ts";
import type * as records from "./records.gen.ts";

export type { Because, TestResult, TestStage, TextId } from "../events/kinds.gen.ts";
export type { Box, Finding, Head, Job, Staff, Stamp, Thing } from "./records.gen.ts";

// Short names for entries of a record's lists and maps.
export type Counters = records.JobLedger;
export type FinalReading = records.JobFinalTests;
export type IndicatorReading = records.JobReadings;
export type Loss = records.JobLosses;
export type Photo = records.JobPhotos;
export type PhotoMark = records.JobPhotoMarks;
export type StaticCheck = records.StationMats;
export type Reading = records.JobTests;
export type Try = records.JobTries;

export type State = {
  readonly job: ReadonlyMap<string, records.Job>;
  readonly thing: ReadonlyMap<string, records.Thing>;
  readonly box: ReadonlyMap<string, records.Box>;
  readonly staff: ReadonlyMap<string, records.Staff>;
  readonly chain: ReadonlyMap<string, records.Chain>;
  readonly station: ReadonlyMap<string, records.Station>;
};

export const EMPTY: State = {
  job: new Map(),
  thing: new Map(),
  box: new Map(),
  staff: new Map(),
  chain: new Map(),
  station: new Map(),
};

export type AnyRecord = Record<string, unknown>;
export type AnyState = Readonly<Record<Collection, ReadonlyMap<string, AnyRecord>>>;
