/** Open jobs in the order in which they need somebody. */

import { state } from "../current.ts";
import { workProcedure } from "../facts/catalogue.ts";
import { said } from "../facts/texts.ts";
import { placeOfCode, wasCollected } from "../facts/things.ts";
import type { Job } from "../fold/state.ts";
import { nextStep as openStep } from "../rules/bench.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { isUntouched } from "../rules/handOver.ts";
import type { Step } from "../rules/procedure.ts";
import { wasTold } from "../rules/telling.ts";
import type { StageId } from "../tables.ts";
import { stopName } from "../words/told.ts";
import { owed } from "./status.ts";

export type Open = { readonly code: string; readonly job: Job; readonly late: boolean };

/** Jobs not handed over: late ones first, then by promise, last those that only wait for the customer. */
export function openJobs(nowMs: number, stage: StageId | null): readonly Open[] {
  const open: (Open & { readonly rank: number })[] = [];
  for (const [code, job] of state.value.job) {
    if (!job.booked || job.stage === "handed_over" || wasCollected(job) || (stage !== null && job.stage !== stage))
      continue;
    const late = isLate(job, nowMs);
    open.push({ code, job, late, rank: late ? 0 : waitsForCustomer(job) ? 2 : 1 });
  }
  return open.sort(
    (a, b) =>
      a.rank - b.rank || (a.job.promised_at_ms ?? 0) - (b.job.promised_at_ms ?? 0) || (a.code < b.code ? -1 : 1),
  );
}

/** A promise can be late only while work is still to come. */
export const isLate = (job: Job, nowMs: number): boolean =>
  (job.stage === "booked" || job.stage === "bench") && job.promised_at_ms !== null && job.promised_at_ms < nowMs;

const waitsForCustomer = (job: Job): boolean =>
  job.stage === "ready" && wasTold(job, { kind: job.stop === null ? "ready" : "returned" });

/** What tells one device of a model from the next: its repair, or the complaint as long as none was chosen. */
export function repairWords(job: Job): string {
  const chosen = workProcedure(job);
  return chosen?.title ?? `“${said(job.complaint) ?? "not said"}”`;
}

/** What holds this job up, in a few words. */
export function blocker(job: Job): string {
  if (job.device !== null && placeOfCode(job.device).kind === "clash")
    return "Two records disagree where the device is";
  switch (job.stage) {
    case "booked":
      return job.procedure === null ? "Not started, no procedure chosen" : "Not started";
    case "ready":
      return waitsForCustomer(job) ? "Waits for the customer" : "Customer not told";
    case "stopped":
      return whenStoppedBlocker(job);
    case "bench":
      return benchBlocker(job);
    default:
      return "";
  }
}

function whenStoppedBlocker(job: Job): string {
  const reason = stopName(job.stop?.reason ?? "other");
  if (owed(job, 0).act.do === "tell") return `${reason}, customer not told`;
  if (isCellUnsafe(job)) return `${reason}, a lead decides`;
  return isUntouched(job) ? `${reason}, to hand back` : `${reason}, still open on the bench`;
}

function benchBlocker(job: Job): string {
  const next = nextStep(job);
  const tried = job.tries[job.tries.length - 1];
  if (tried?.outcome === "fail" && next?.gate === "prefit") return `New part failed, try ${tried.try}`;
  if (next === null) return "In work";
  const needsPart = next.phase === "turn" && Object.keys(job.parts).length === 0;
  if (needsPart) return "No part yet";
  if (next.gate === "prefit") return "Waits for the pre-fit test";
  if (next.gate === "final") return "Waits for the final test";
  return `At: ${next.title}`;
}

/** The first step of the walk that is not done; null when the procedure is not known here or nothing is left. */
export function nextStep(job: Job): Step | null {
  const chosen = workProcedure(job);
  if (chosen === null) return null;
  return openStep(job, chosen);
}
