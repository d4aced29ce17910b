/** Heat and solvent in a procedure: both are data, and they must never meet. */
import table from "@shared/procedure_cautions.json";
import { dangerWords } from "./dangerWords.ts";
import { type Procedure, type Step, writtenSteps } from "./procedure.ts";
import type { Fault } from "./procedureWalk.ts";

/** A wait of this length without heat lets the edge of a device cool (common practice, no source). */
export const COOL_S = 180;

const wordsOf = (caution: string): readonly string[] => table.rows.find((row) => row.caution === caution)?.words ?? [];
const fault = (slug: string, step: string, detail: string): Fault => ({ slug, step, detail });

/** Faults in single steps first (data missing, heat with solvent), then those along the walk. */
export const heatFaults = (procedure: Procedure, walk: readonly Step[]): readonly Fault[] => [
  ...writtenSteps(procedure).flatMap((row) => {
    const [warming] = dangerWords(row, wordsOf("heat"), []);
    const [dissolving] = dangerWords(row, wordsOf("chemical"), []);
    return [
      ...(warming !== undefined && row.heat === undefined ? [fault("heat-unmeasured", row.id, warming)] : []),
      ...(dissolving !== undefined && row.solvent === undefined
        ? [fault("solvent-undescribed", row.id, dissolving)]
        : []),
      ...(row.heat !== undefined && row.solvent !== undefined
        ? [fault("heat-with-solvent", row.id, row.solvent.what)]
        : []),
    ];
  }),
  ...along(procedure, walk),
];

/** A device is warm from a step that heats until a step that waits without heat or solvent. */
function along(procedure: Procedure, walk: readonly Step[]): readonly Fault[] {
  const power = new Set(procedure.connectors.filter((c) => c.power === true).map((c) => c.id));
  const live = new Set(power);
  const found: Fault[] = [];
  let warm: string | null = null;
  for (const step of walk) {
    if (step.heat !== null) warm = step.id;
    else if (step.solvent !== null) {
      if (warm !== null) found.push(fault("solvent-on-warm", step.id, warm));
    } else if ((step.wait_s ?? 0) >= COOL_S) warm = null;
    if (step.solvent !== null && live.size > 0) {
      found.push(fault("solvent-under-power", step.id, [...live].sort().join(", ")));
    }
    for (const op of step.ops) {
      if (op.op === "unplug") live.delete(op.connector);
      if (op.op === "plug" && power.has(op.connector)) live.add(op.connector);
    }
  }
  return found;
}
