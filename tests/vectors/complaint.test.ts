/** TypeScript says whether the complaint is cured as the vectors do. */
import type { Job } from "@pwa/fold/state.ts";
import { complaintCured } from "@pwa/rules/complaint.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Row = {
  readonly rounds: readonly number[];
  readonly checks: Readonly<Record<string, "yes" | "no" | "unknown">>;
  readonly expect: "yes" | "no" | "unknown" | null;
};

const [all] = vectors<{ readonly name: string; readonly rows: readonly Row[] }>("complaint", {
  keys: ["name", "comment", "rows"],
});
const at = { event: "7K2.1", staff: null, at_ms: 0 };

it.each((all?.rows ?? []).map((row) => [JSON.stringify(row), row] as const))("%s", (_, row) => {
  const checks = Object.entries(row.checks).map(([key, cured]) => [key, { ...at, cured, note: null }]);
  const final_rounds = row.rounds.map((round) => ({ ...at, round, why: null }));
  const job = { final_rounds, complaint_checks: Object.fromEntries(checks) } as unknown as Job;
  expect(complaintCured(job)).toBe(row.expect);
});
