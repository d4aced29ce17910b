/** The pre-fit test as a walk of tries: what follows them stands in shared/prefit.json (common practice, no source). */
import prefitTable from "@shared/prefit.json";
import { testPoints } from "../tables/testPoints.ts";
import type { Procedure, Step } from "./procedure.ts";

/** An action of the table. */
export type TryAction = import("../events/kinds.gen.ts").TryAction;

export type Tried = {
  readonly part: string | null;
  readonly action: TryAction;
  readonly outcome: "pass" | "fail";
  readonly failed: readonly string[];
};

/** What is known of the tries so far, in the words of the table's conditions. */
type Facts = {
  readonly last_try: "none" | "passed" | "failed";
  readonly last_action: "none" | TryAction;
  readonly another_unit_failed: "yes" | "no";
  readonly same_point_failed_with_another_unit: "yes" | "no";
  readonly tries_left: "yes" | "no";
};

export type Next = {
  readonly when: { readonly [fact in keyof Facts]?: readonly string[] };
  readonly next: TryAction | "pass" | "board";
  readonly say: string;
  /** The other units, which failed, are judged so. */
  readonly dead_on_arrival?: true;
  /** On `board`: what is tried once a lead lifted the stop, and what stands on the stop. */
  readonly lifted?: TryAction;
  readonly note?: string;
};

type ActionWords = {
  readonly name: string;
  readonly unit: string;
  readonly past?: string;
  readonly warning?: string;
  readonly how?: string;
};

const rows = prefitTable.rows as unknown as readonly Next[];
export const tryActions: Readonly<Record<string, ActionWords>> = prefitTable.actions;

/** `try` of the event is 1 to 9. */
export const MOST_TRIES = prefitTable.most_tries;

/** What comes after these tries: the first row of the table that fits. */
export function nextTry(tries: readonly Tried[]): Next {
  const facts = factsOf(tries);
  const row = rows.find(({ when }) => FACTS.every((fact) => when[fact]?.includes(facts[fact]) !== false));
  if (row === undefined) throw new Error("the rows of the table leave nothing out");
  return row;
}

/** What is tried next; where nothing is, what a lead's lifting of the stop leads to. Null when the part is proven. */
export const actionOf = (next: Next): TryAction | null => (isAction(next.next) ? next.next : (next.lifted ?? null));

const isAction = (next: Next["next"]): next is TryAction => Object.hasOwn(tryActions, next);

const FACTS: readonly (keyof Facts)[] = [
  "last_try",
  "last_action",
  "another_unit_failed",
  "same_point_failed_with_another_unit",
  "tries_left",
];

function factsOf(tries: readonly Tried[]): Facts {
  const last = tries.at(-1);
  const others = lastOfEach(tries).filter((t) => t.part !== last?.part);
  const sameFault = last?.failed.some((point) => others.some((t) => t.failed.includes(point))) === true;
  return {
    last_try: last === undefined ? "none" : last.outcome === "pass" ? "passed" : "failed",
    last_action: last?.action ?? "none",
    another_unit_failed: yesNo(others.some((t) => t.outcome === "fail")),
    same_point_failed_with_another_unit: yesNo(sameFault),
    tries_left: yesNo(tries.length < MOST_TRIES),
  };
}

const yesNo = (holds: boolean): "yes" | "no" => (holds ? "yes" : "no");

/** Points that still failed with more than one unit, each unit by its last try. */
export function sharedFailures(tries: readonly Tried[]): readonly string[] {
  const failed = lastOfEach(tries).flatMap((t) => t.failed);
  return [...new Set(failed.filter((point, index) => failed.indexOf(point) !== index))];
}

/** Units that these tries show to be dead on arrival, each with the points it failed. */
export function deadUnits(
  tries: readonly Tried[],
): readonly { readonly part: string; readonly failed: readonly string[] }[] {
  if (nextTry(tries).dead_on_arrival !== true) return [];
  return lastOfEach(tries)
    .filter((t) => t.outcome === "fail")
    .map(({ part }) => ({
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
