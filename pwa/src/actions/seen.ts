/** A lead has looked: at findings, and at what came late about something put away. Only then is it put away (F5.14). */
import type { Event } from "../events/envelope.ts";
import { isLead } from "../facts/people.ts";
import { type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";

/** All findings so far of a job, a thing or a box. `lead-only`. */
export const findingsSeen = onePress(async (of: string, count: number): Promise<Result<readonly Event[]>> => {
  if (!isLead()) return refuse("lead-only");
  return act(() => [{ kind: "findings.seen", body: { of, count } }]);
});

/** A late entry of a chain. `lead-only`. */
export const lateSeen = onePress(async (late: string, chain: string): Promise<Result<readonly Event[]>> => {
  if (!isLead()) return refuse("lead-only");
  return act(() => [{ kind: "late.seen", body: { late, chain } }]);
});
