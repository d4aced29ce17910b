/** Stopping a job with its reason, and lifting a stop: the same from the counter and from the bench. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { Battery, LiftPlan, StopReason, TextId } from "../events/kinds.gen.ts";
import { workProcedure } from "../facts/catalogue.ts";
import { isLead } from "../facts/people.ts";
import { placeOfCode, trayOf } from "../facts/things.ts";
import type { Work } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import { afterLift, isStopped, opensDevice } from "../rules/bench.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { mayBeLifted } from "../rules/handOver.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { finalAnew } from "./tests.ts";
import { written } from "./written.ts";

type Done = Promise<Result<readonly Event[]>>;

/**
 * From here on only closing up and handing back remain. Every reason but the customer's own wants to be explained; a
 * stop for the battery says what it is like. `code-unknown`, `job-closed`, `job-stopped`, `why-missing`, `answer-missing`.
 */
export const stopJob = onePress(async (code: string, reason: StopReason, note: string, battery?: Battery): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  if (isStopped(job)) return refuse("job-stopped");
  if (reason === "battery" && battery === undefined) return refuse("answer-missing", "What the battery is like.");
  const text = written(note);
  if (text === "" && reason !== "customer") return refuse("why-missing");
  const state_ = reason === "battery" && battery !== undefined ? { battery } : {};
  const said = text === "" ? {} : { note: text };
  return act(() => [{ kind: "job.stopped", job: code, body: { reason, ...state_, ...said } }]);
});

/**
 * A lead lets work go on; the walk is set right with it, a final test starts again, and the reason stays for good. A stop
 * for an unsafe battery is lifted with a plan: the cell comes out, or it turned out to be safe. The device leaves the safe
 * place with it. `lead-only`, `why-missing`, `not-stopped`, `answer-missing`.
 */
export const liftStop = onePress(async (code: string, why: string, plan: LiftPlan = "go_on"): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (!isLead()) return refuse("lead-only");
  const text = written(why);
  if (text === "") return refuse("why-missing");
  if (!mayBeLifted(job)) return refuse("not-stopped");
  if (isCellUnsafe(job) !== (plan !== "go_on")) return refuse("answer-missing", "What happens with the battery.");
  const reason = (job.stop?.reason ?? "other") as StopReason;
  const lift = { why: NOT_WRITTEN, reason, plan, event: "", staff: null, at_ms: 0 };
  const again = plan === "cell_out" && job.steps["cell-ready"] !== undefined;
  return act(() => [
    { kind: "stop.lifted", job: code, body: { reason, plan, why: text } },
    ...settled(code, { ...job, stop: null, lifts: [...job.lifts, lift] }),
    ...(again ? [{ kind: "step.undone" as const, job: code, body: { step: "cell-ready", why: "Stop lifted" } }] : []),
    ...fromSafePlace(code, job.device),
    ...finalAnew(code, job, "Stop lifted"),
  ]);
});

/** In place of a text that is being written: what the walk makes of a lift does not depend on its words. */
const NOT_WRITTEN: TextId = Symbol("not written yet");

/** Set the walk right after a stop that another station lifted while it did not know how far closing up had come. */
export const goOnAfterLift = onePress(async (code: string): Done => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  const held = workProcedure(job);
  const opens = held !== null && opensDevice(held, afterLift(job, held).undo);
  return act(() => [...settled(code, job), ...(opens ? finalAnew(code, job, "Stop lifted") : [])]);
});

/** A device in the safe place comes back to its tray, or to the bench. */
function fromSafePlace(code: string, device: string | null): readonly NewEvent[] {
  const place = device === null ? null : placeOfCode(device);
  if (device === null || place?.kind !== "at" || place.to !== "safe") return [];
  return [moved(device, trayOf(code) ?? "bench", "A lead lifted the stop")];
}

function settled(code: string, job: Work["job"]): readonly NewEvent[] {
  const held = workProcedure(job);
  if (held === null) return [];
  const { undo, answered } = afterLift(job, held);
  return [
    ...undo.map((step): NewEvent => ({ kind: "step.undone", job: code, body: { step, why: "Stop lifted" } })),
    ...answered.map((step): NewEvent => ({ kind: "step.done", job: code, body: { step } })),
  ];
}
