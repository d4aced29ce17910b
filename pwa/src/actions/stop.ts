/** Stopping a job with its reason, and lifting a stop: the same from the counter and from the bench. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { Battery, StopReason } from "../events/kinds.gen.ts";
import type { NewEvent } from "../log/own.ts";
import { type Result, refuse } from "../problem.ts";
import { afterLift, isStopped, opensDevice } from "../rules/bench.ts";
import type { Work } from "../views/bench.ts";
import { procedure } from "../views/catalogue.ts";
import { isLead } from "../views/people.ts";
import { mayBeLifted } from "../views/status.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";
import { finalAnew } from "./tests.ts";
import { written } from "./written.ts";

type Done = Promise<Result<readonly Event[]>>;

/**
 * From here on only closing up and handing back remain. Every reason but the customer's own wants to be explained; of a
 * battery, `battery` says how it is. `code-unknown`, `job-closed`, `job-stopped`, `why-missing`.
 */
export const stopJob = onePress(async (code: string, reason: StopReason, note: string, battery?: Battery): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  if (isStopped(job)) return refuse("job-stopped");
  const text = written(note);
  if (text === "" && reason !== "customer") return refuse("why-missing");
  const said = { ...(text === "" ? {} : { note: text }), ...(battery === undefined ? {} : { battery }) };
  return act(() => [{ kind: "job.stopped", job: code, body: { reason, ...said } }]);
});

/** A lead lets work go on; the walk is set right with it, a final test begins anew, and the reason stays for good. `lead-only`, `why-missing`, `not-stopped`. */
export const liftStop = onePress(async (code: string, why: string): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (!isLead()) return refuse("lead-only");
  const text = written(why);
  if (text === "") return refuse("why-missing");
  if (!mayBeLifted(job)) return refuse("not-stopped");
  const lift = { why: text, reason: "other" as const, plan: "go_on" as const, event: "", staff: null, at_ms: 0 };
  return act(() => [
    { kind: "stop.lifted", job: code, body: { reason: job.stop?.reason as StopReason, plan: "go_on", why: text } },
    ...settled(code, { ...job, stop: null, lifts: [...job.lifts, lift] }),
    ...finalAnew(code, job, "Stop lifted"),
  ]);
});

/** Set the walk right after a stop that another station lifted while it did not know how far closing up had come. */
export const goOnAfterLift = onePress(async (code: string): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  const held = procedure(job.procedure, job.revision);
  const opens = held !== null && opensDevice(held, afterLift(job, held).undo);
  return act(() => [...settled(code, job), ...(opens ? finalAnew(code, job, "Stop lifted") : [])]);
});

function settled(code: string, job: Work["job"]): readonly NewEvent[] {
  const held = procedure(job.procedure, job.revision);
  if (held === null) return [];
  const { undo, answered } = afterLift(job, held);
  return [
    ...undo.map((step): NewEvent => ({ kind: "step.undone", job: code, body: { step, why: "Stop lifted" } })),
    ...answered.map((step): NewEvent => ({ kind: "step.done", job: code, body: { step } })),
  ];
}
