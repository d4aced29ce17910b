/** Asking whether the complaint is cured: before the new part is fitted, and as the first line of the final test. */
import type { Event } from "../events/envelope.ts";
import type { Cured } from "../events/kinds.gen.ts";
import { nextOf } from "../facts/prefit.ts";
import { type Work, workOf } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import { mayDo } from "../rules/bench.ts";
import type { Step } from "../rules/procedure.ts";
import { finalRound } from "../rules/tests.ts";
import { act } from "./act.ts";
import { doneEvents } from "./bench.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

type Done = Result<readonly Event[]>;

/**
 * The part is proven: say whether it cures the complaint, and go on. One that does not is fitted only for a reason.
 * `prefit-open`, `complaint-why-missing`.
 */
export const acceptPart = onePress(async (code: string, id: string, cured: Cured, note: string): Promise<Done> => {
  const step = proven(code, id);
  if (!step.ok) return step;
  if (cured === "no" && written(note) === "") return refuse("complaint-why-missing");
  return act(() => [checked(code, "prefit", 1, cured, note), ...doneEvents(code, step.value, [])]);
});

/** The part is proven, but the fault lies elsewhere: the job stops, and the part is not fitted. `prefit-open`. */
export const stopUncured = onePress(async (code: string, id: string, note: string): Promise<Done> => {
  const step = proven(code, id);
  if (!step.ok) return step;
  const found = ["The new part works but does not cure the complaint.", written(note)].join(" ").trim();
  return act(() => [
    checked(code, "prefit", 1, "no", note),
    { kind: "job.stopped", job: code, body: { reason: "other", note: found.slice(0, 300) } },
  ]);
});

/** The complaint at the final test, in the present round. Every answer but yes says what is left. `complaint-why-missing`. */
export const checkComplaint = onePress(async (code: string, id: string, cured: Cured, note: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  if (cured !== "yes" && written(note) === "") return refuse("complaint-why-missing");
  return act(() => [checked(code, "final", finalRound(at.value.job), cured, note)]);
});

function proven(code: string, id: string): Result<Step> {
  const at = atStep(code, id);
  if (!at.ok) return at;
  return nextOf(at.value.job).next === "pass" ? { ok: true, value: at.value.step } : refuse("prefit-open");
}

function atStep(code: string, id: string): Result<Work & { readonly step: Step }> {
  const work = workOf(code);
  if (!work.ok) return work;
  const step = mayDo(work.value.job, work.value.procedure, id);
  return step.ok ? { ok: true, value: { ...work.value, step: step.value } } : step;
}

function checked(code: string, stage: "prefit" | "final", round: number, cured: Cured, note: string): NewEvent {
  const text = written(note).slice(0, 300);
  const said = text === "" ? {} : { note: text };
  return { kind: "complaint.checked", job: code, body: { stage, round, cured, ...said } };
}
