/** The walk while a swollen cell is taken out: a lead lifted the stop for it. Words: shared/safety.json. */
import safety from "@shared/safety.json";
import { type Procedure, type Step, step } from "./procedure.ts";

/** Ids of the steps that such a walk has besides the procedure's own. */
export const CELL_STEPS = ["cell-ready", "cell-out", "cell-contain"];

/** Whether the procedure itself takes the cell out, as that of a battery does. */
export const takesCellOut = (procedure: Procedure): boolean => cellStep(procedure) !== undefined;

const cellStep = (procedure: Procedure): string | undefined =>
  procedure.in.find((row) => row.ops?.some((op) => op.op === "lift" && op.cell === true))?.id;

/**
 * Made ready first; no heat and no solvent up to the cell; then the cell into its container, after the step that takes
 * it out, or where the procedure has none, straight after the battery is unplugged.
 */
export function cellOutWalk(procedure: Procedure, steps: readonly Step[]): readonly Step[] {
  const own = cellStep(procedure);
  const last = steps.findIndex((s) => (own === undefined ? s.gate === "power" : s.id === own));
  const [before, after] = [steps.slice(0, last + 1), steps.slice(last + 1)];
  const [safetyStep, ...cold] = before.map(withoutHeat);
  return [
    ...(safetyStep === undefined ? [] : [safetyStep]),
    cellWords("ready"),
    ...cold,
    ...(own === undefined ? [cellWords("out")] : []),
    { ...cellWords("contain"), gate: "contain" },
    ...after,
  ];
}

function withoutHeat(s: Step): Step {
  const say =
    s.swollen ?? (s.heat !== null ? [safety.instead.heat] : s.solvent !== null ? [safety.instead.solvent] : s.say);
  const cautions = [...new Set(["battery_emergency", ...s.cautions])];
  return { ...s, say, cautions, heat: null, solvent: null, wait_s: s.heat === null ? s.wait_s : null };
}

const cellWords = (name: "ready" | "out" | "contain"): Step =>
  step({ ...safety.steps[name], id: `cell-${name}` }, "in");
