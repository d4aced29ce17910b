/** TypeScript judges procedure files as the vectors say (F9). */
import { readFileSync } from "node:fs";
import { checkProcedureFile } from "@pwa/facts/procedureFile.ts";
import type { Fault } from "@pwa/rules/procedureCheck.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly expect: "sound" | "faults";
  readonly base: string;
  readonly file: object;
  readonly faults: readonly Fault[];
};

const ALL = vectors<Vector>("procedure_file", {
  keys: ["name", "expect", "comment", "base", "file", "faults"],
  expect: ["sound", "faults"],
});

it.each(ALL)("$name", async ({ base, file, faults, expect: verdict }) => {
  const path = new URL(`../../shared/vectors/procedure_check/base/${base}.json`, import.meta.url);
  const procedure: unknown = JSON.parse(readFileSync(path, "utf8"));
  const found = await checkProcedureFile({ ...file, procedure });
  expect(found).toEqual(faults);
  expect(verdict).toBe(found.length > 0 ? "faults" : "sound");
});
