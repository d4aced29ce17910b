/** TypeScript judges procedures as the vectors say. */
import { readdirSync, readFileSync } from "node:fs";
import { checkProcedure, type Fault } from "@pwa/rules/procedureCheck.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Change = { readonly at: string; readonly set?: unknown; readonly put?: unknown; readonly cut?: true };
type Vector = {
  readonly name: string;
  readonly expect: "sound" | "faults";
  readonly base: string;
  readonly changes: readonly Change[];
  readonly faults: readonly Fault[];
};

const SHARED = new URL("../../shared/", import.meta.url);
const ALL = vectors<Vector>("procedure_check", {
  keys: ["name", "expect", "comment", "base", "changes", "faults"],
  expect: ["sound", "faults"],
});

it.each(ALL)("$name", (vector) => {
  const base = read(`vectors/procedure_check/base/${vector.base}.json`);
  const faults = checkProcedure(changed(base, vector.changes));
  expect(faults).toEqual(vector.faults);
  expect(vector.expect).toBe(faults.length > 0 ? "faults" : "sound");
});

const SHIPPED = readdirSync(new URL("procedures/", SHARED));

it.each(SHIPPED)("%s, which comes with the program, is sound", (file) => {
  expect(checkProcedure(read(`procedures/${file}`))).toEqual([]);
});

function read(path: string): unknown {
  return JSON.parse(readFileSync(new URL(path, SHARED), "utf8"));
}

/** The document with the changes made one after the other. */
function changed(document: unknown, changes: readonly Change[]): unknown {
  for (const change of changes) {
    const path = change.at.split("/").slice(1);
    const last = path.pop() ?? "";
    const holder = path.reduce<unknown>((at, name) => (at as Record<string, unknown>)[name], document);
    if ("put" in change) (holder as unknown[]).splice(Number(last), 0, change.put);
    else if ("set" in change) (holder as Record<string, unknown>)[last] = change.set;
    else if (Array.isArray(holder)) holder.splice(Number(last), 1);
    else delete (holder as Record<string, unknown>)[last];
  }
  return document;
}
