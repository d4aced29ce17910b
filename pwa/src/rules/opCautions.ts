/** Cautions that follow from what a step does, so that no author has to write them at every connector. */
import table from "@shared/procedure_cautions.json";
import type { Op } from "./procedure.ts";

/** The written cautions, then those that follow from its operations, without repeats. */
export function withOpCautions(cautions: readonly string[], ops: readonly Op[]): readonly string[] {
  const does = new Set<string>(ops.map((op) => op.op));
  const brought = table.rows.filter((row) => row.ops.some((op: string) => does.has(op))).map((row) => row.caution);
  return [...new Set([...cautions, ...brought])];
}
