/** TypeScript says what came of a job as the vectors do. */
import type { Job } from "@pwa/fold/state.ts";
import { outcome, reasonTold } from "@pwa/rules/outcome.ts";
import { blankRecords } from "@pwa/tables.ts";
import recordTable from "@shared/record.json";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly expect: string;
  readonly reason: string | null;
  readonly job: Partial<Job>;
};

const ALL = vectors<Vector>("outcome", {
  keys: ["name", "expect", "reason", "comment", "job"],
  expect: Object.keys(recordTable.outcomes),
});

it.each(ALL)("$name", (vector) => {
  const job = { ...blankRecords.job, ...vector.job } as unknown as Job;
  expect([outcome(job), reasonTold(job)]).toEqual([vector.expect, vector.reason]);
});
