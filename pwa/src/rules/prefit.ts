/** The pre-fit test as a walk of tries: first, reseat, another unit, and what several failures mean (common practice, no source). */
import { testPoints } from "../tables.ts";
import type { Procedure, Step } from "./procedure.ts";

export type Tried = {
  readonly part: string;
  readonly action: "first" | "reseat" | "second_unit";
  readonly outcome: "pass" | "fail";
  readonly failed: readonly string[];
};

export type Next =
  | { readonly kind: "try"; readonly action: Tried["action"] }
  | { readonly kind: "pass" }
  | { readonly kind: "board" };

/** `try` of the event is 1 to 9. */
export const MOST_TRIES = 9;

/** What comes after these tries. The same point failing with two units is a fault on the board. */
export function nextTry(tries: readonly Tried[]): Next {
  const last = tries[tries.length - 1];
  if (last === undefined) return { kind: "try", action: "first" };
  if (last.outcome === "pass") return { kind: "pass" };
  const others = lastOfEach(tries).filter((t) => t.part !== last.part);
  const sameFault = last.failed.some((point) => others.some((t) => t.failed.includes(point)));
  if (sameFault || tries.length >= MOST_TRIES) return { kind: "board" };
  return { kind: "try", action: last.action === "reseat" ? "second_unit" : "reseat" };
}

/** Points that still failed with more than one unit, each unit by its last try. */
export function sharedFailures(tries: readonly Tried[]): readonly string[] {
  const failed = lastOfEach(tries).flatMap((t) => t.failed);
  return [...new Set(failed.filter((point, index) => failed.indexOf(point) !== index))];
}

/** Units that are dead on arrival once another one passed, each with the points it failed. */
export function deadUnits(
  tries: readonly Tried[],
): readonly { readonly part: string; readonly failed: readonly string[] }[] {
  const passed = tries.find((t) => t.outcome === "pass")?.part;
  if (passed === undefined) return [];
  const parts = [...new Set(tries.map((t) => t.part))].filter((part) => part !== passed);
  return parts.map((part) => ({
    part,
    failed: [...new Set(tries.filter((t) => t.part === part).flatMap((t) => t.failed))],
  }));
}

/** What reseating cured does not count: a unit stands by its last try. */
const lastOfEach = (tries: readonly Tried[]): readonly Tried[] => [...new Map(tries.map((t) => [t.part, t])).values()];

/** The points that prove a part: the step's own, else all pre-fit points of what the part serves. */
export function prefitPoints(procedure: Procedure, step: Step): readonly string[] {
  if (step.points !== null) return step.points;
  const serves = procedure.part.serves;
  return Object.entries(testPoints)
    .filter(([, p]) => p.stages.includes("prefit") && p.serves.some((s) => serves.includes(s)))
    .map(([id]) => id);
}

/** The outcome of a try from its readings; null while it proves nothing: a point is unread, or none could be tested. */
export function outcomeOf(readings: readonly ("pass" | "fail" | "cannot" | null)[]): "pass" | "fail" | null {
  if (readings.includes(null)) return null;
  if (readings.includes("fail")) return "fail";
  return readings.includes("pass") ? "pass" : null;
}
