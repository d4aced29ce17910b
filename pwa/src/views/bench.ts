/** What the bench shows of a job: its procedure, its place in the walk, and the words of a step. */
import { signedOn, state } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { isStopped, lastDone, nextStep, walk } from "../rules/bench.ts";
import type { Phase, Procedure, Step } from "../rules/procedure.ts";
import { testPoints } from "../tables/testPoints.ts";
import { workProcedure } from "./catalogue.ts";
import { trayOf } from "./things.ts";

export type Work = { readonly job: Job; readonly procedure: Procedure };

/** A job and the procedure it was started with. `code-unknown`, `no-procedure`. */
export function workOf(code: string): Result<Work> {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  const held = workProcedure(job);
  return held === null ? refuse("no-procedure") : ok({ job, procedure: held });
}

export type Bench = Work & {
  readonly code: string;
  readonly tray: string | null;
  readonly steps: readonly Step[];
  readonly open: Step | null;
  /** The step "take back" would take back. */
  readonly last: Step | null;
  readonly stopped: boolean;
};

export function benchOf(code: string): Result<Bench> {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure: held } = work.value;
  return ok({
    ...work.value,
    code,
    tray: trayOf(code),
    steps: walk(job, held),
    open: nextStep(job, held),
    last: lastDone(job, held),
    stopped: isStopped(job),
  });
}

/** Whether somebody else works on it. */
export const isOthers = (job: Job): boolean => job.bench_staff !== null && job.bench_staff !== signedOn.value;

const PHASES: Readonly<Record<Phase, string>> = { in: "way in", turn: "turn", out: "way out", end: "end" };

/** "Step 3 of 26, way in". */
export function progressText(bench: Bench, step: Step): string {
  const place = bench.steps.findIndex((s) => s.id === step.id) + 1;
  const of = `Step ${place} of ${bench.steps.length}`;
  return bench.stopped ? `${of}, closing up` : `${of}, ${PHASES[step.phase]}`;
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

/** "1", "2 and 3", "2, 3 and 4". */
export const listed = (items: readonly string[]): string =>
  items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;

export const pointName = (point: string): string => testPoints[point]?.name ?? point;
export const pointNames = (points: readonly string[]): string => points.map(pointName).join(", ");

/** Procedures for a model first, then the others. */
export const byModel = (all: readonly Procedure[], model: string | null): readonly Procedure[] => [
  ...all.filter((p) => p.model === model),
  ...all.filter((p) => p.model !== model),
];
