/** What the bench says of a job's place in the walk, and of a step. */
import type { Bench } from "../facts/work.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import type { Phase, Procedure, Step } from "../rules/procedure.ts";
import { listed } from "../words/format.ts";

const PHASES: Readonly<Record<Phase, string>> = { in: "way in", turn: "turn", out: "way out", end: "end" };

/** "Step 3 of 26, way in". */
export function progressText(bench: Bench, step: Step): string {
  const place = bench.steps.findIndex((s) => s.id === step.id) + 1;
  const of = `Step ${place} of ${bench.steps.length}`;
  if (!bench.stopped) return `${of}, ${PHASES[step.phase]}`;
  return `${of}, ${isCellUnsafe(bench.job) ? "making it safe" : "closing up"}`;
}

/** What pressing "done" says has happened, by the step's operations. */
export function doneText(step: Step, held: Procedure): string {
  const has = (kind: string): boolean => step.ops.some((op) => op.op === kind);
  const pockets = step.ops.flatMap((op) =>
    op.op === "remove" ? [held.fasteners.find((f) => f.id === op.group)?.pocket] : [],
  );
  if (has("remove") && has("insert")) return "Done: moved over, screws are in";
  if (has("remove"))
    return `Done: ${has("unplug") ? "unplugged, " : ""}screws are in ${pockets.length > 1 ? "pockets" : "pocket"} ${listed(pockets.map(String))}`;
  if (has("insert")) return `Done: ${has("plug") ? "plugged in, " : ""}screws are back in`;
  if (has("unplug")) return "Done: unplugged";
  if (has("plug")) return "Done: plugged in";
  if (has("lift")) return "Done: lifted off";
  if (has("seat")) return "Done: seated";
  return "Done";
}
