/** TypeScript explains the three results of a test point as the vectors say. */
import { attribute, type Seen } from "@pwa/rules/attribution.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Row = { readonly intake: Seen; readonly prefit: Seen; readonly final: Seen; readonly expect: string };

const [all] = vectors<{ readonly name: string; readonly rows: readonly Row[] }>("attribution", {
  keys: ["name", "comment", "rows"],
});

it("gives each triple of results its verdict", () => {
  const rows = all?.rows ?? [];
  expect(rows).toHaveLength(64);
  expect(rows.filter((row) => attribute(row.intake, row.prefit, row.final) !== row.expect)).toEqual([]);
});
