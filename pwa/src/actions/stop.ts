/** Stopping a job with its reason, and lifting a stop. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { StopReason } from "../events/kinds.gen.ts";
import { type Result, refuse } from "../problem.ts";
import { isLead } from "../views/people.ts";
import { mayBeLifted } from "../views/status.ts";
import { act } from "./act.ts";
import { written } from "./written.ts";

type Written = Promise<Result<readonly Event[]>>;

/** From here on only closing up and handing back remain. `job-closed`, `code-unknown`. */
export async function stopJob(code: string, reason: StopReason, note: string): Written {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  const text = written(note);
  const said = text === "" ? {} : { note: text };
  return act(() => [{ kind: "job.stopped", job: code, body: { reason, ...said } }]);
}

/** A lead takes a stop back; the reason stays on the record for good. `lead-only`, `not-stopped`. */
export async function liftStop(code: string, why: string): Written {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (!isLead()) return refuse("lead-only");
  if (!mayBeLifted(job)) return refuse("not-stopped");
  return act(() => [{ kind: "stop.lifted", job: code, body: { why: written(why) } }]);
}
