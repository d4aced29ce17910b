/** The lock of a device changes during the job: it was restarted, or its owner unlocked it. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { Lock } from "../events/kinds.gen.ts";
import { type Result, refuse } from "../problem.ts";
import { isLocked } from "../rules/locked.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

/** From here on the points are tested as the lock allows. `code-unknown`, `job-closed`, `lock-same`, `why-missing`. */
export const changeLock = onePress(async (code: string, lock: Lock, why: string): Promise<Result<readonly Event[]>> => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  if (isLocked(job) === (lock === "locked")) return refuse("lock-same");
  const text = written(why).slice(0, 200);
  if (text === "") return refuse("why-missing");
  return act(() => [{ kind: "lock.changed", job: code, body: { lock, why: text } }]);
});
