/** Cautions that a step has by what it does, so that no author has to write them at every plug. */
import table from "@shared/procedure_cautions.json";
import type { Op } from "./procedure.ts";

/** The written cautions, then those that its operations bring, each once. */
export function withOpCautions(cautions: readonly string[], ops: readonly Op[]): readonly string[] {
  const does = new Set<string>(ops.map((op) => op.op));
  const brought = table.rows.filter((row) => row.ops.some((op: string) => does.has(op))).map((row) => row.caution);
  return [...new Set([...cautions, ...brought])];
}
