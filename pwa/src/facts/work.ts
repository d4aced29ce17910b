/** A job on the bench with its procedure, and how far its walk has got. */
import { signedOn, state } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { isStopped, lastDone, nextStep, walk } from "../rules/bench.ts";
import type { Procedure, Step } from "../rules/procedure.ts";
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
  /** The step that "take back" would take back. */
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
