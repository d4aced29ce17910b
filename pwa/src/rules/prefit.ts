/**
 * The pre-fit test as a series of tries: shared/prefit.json says what follows them (common practice, no source).
 * Two units of one lot do not prove a fault on the board: another lot, a known-good unit or the old part does.
 */
import prefitTable from "@shared/prefit.json";
import type { Job } from "../fold/state.ts";
import { testPoints } from "../tables/testPoints.ts";
import type { Procedure, Step } from "./procedure.ts";

/** An action of the table. */
export type TryAction = Job["tries"][number]["action"];

export type Tried = {
  /** Null for the old part, and for a known-good unit that carries no label. */
  readonly part: string | null;
  /** The unit's supplier and lot; null when that is not known. */
  readonly lot: string | null;
  readonly action: TryAction;
  readonly outcome: "pass" | "fail";
  readonly failed: readonly string[];
};

/** Tries of parts that will not be fitted: they speak for or against the board. */
export type Crosswise = "known_good" | "old_part";
export const isCrosswise = (action: TryAction): action is Crosswise => action === "known_good" || action === "old_part";

/** What is known of the tries so far, in the words of the table's conditions. */
type Facts = {
  readonly last_try: "none" | "passed" | "failed";
  readonly last_action: "none" | TryAction;
  readonly another_unit_failed: "yes" | "no";
  readonly same_point_failed: Evidence;
  readonly board_cleared: "yes" | "no";
  readonly tries_left: "yes" | "no";
};

/** What a point of the last try failed with as well, the strongest first. */
const EVIDENCE = ["other_lot", "known_good", "old_part", "one_lot", "no"] as const;
type Evidence = (typeof EVIDENCE)[number];

export type Next = {
  readonly when: { readonly [fact in keyof Facts]?: readonly string[] };
  readonly next: TryAction | "pass" | "board" | "parts";
  readonly say: string;
  /** Actions that are as conclusive as the next one. */
  readonly or?: readonly Crosswise[];
  /** Units that failed are judged so. */
  readonly dead_on_arrival?: true;
  /** Where the job stops: what is tried once a lead has lifted the stop, and the note on the stop. */
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
export const tryActions: Readonly<Record<TryAction, ActionWords>> = prefitTable.actions;

/** `try` of the event is 1 to 9. */
export const MOST_TRIES = prefitTable.most_tries;

/** Points that worked at intake: only for those may the old part speak against the board. */
export type WorkedBefore = ReadonlySet<string>;

/** What comes after these tries: the first row of the table that fits. */
export function nextTry(tries: readonly Tried[], before: WorkedBefore): Next {
  const facts = factsOf(tries, before);
  const row = rows.find(({ when }) => FACTS.every((fact) => when[fact]?.includes(facts[fact]) !== false));
  if (row === undefined) throw new Error("the rows of the table leave nothing out");
  return row;
}

/** What is tried next, or if nothing, what a lead's lift of the stop leads to. Null when the part is proven. */
export const actionOf = (next: Next): TryAction | null => (isAction(next.next) ? next.next : (next.lifted ?? null));

/** The reason why the job stops after a try; null when it continues. */
export const stopsFor = (next: Next): "board" | "parts" | null =>
  next.next === "board" || next.next === "parts" ? next.next : null;

const isAction = (next: Next["next"]): next is TryAction => Object.hasOwn(tryActions, next);

const FACTS: readonly (keyof Facts)[] = [
  "last_try",
  "last_action",
  "another_unit_failed",
  "same_point_failed",
  "board_cleared",
  "tries_left",
];

function factsOf(tries: readonly Tried[], before: WorkedBefore): Facts {
  const last = tries.at(-1);
  const units = newUnits(tries);
  const found = evidenceOf(tries, before).map(({ kind }) => kind);
  const clears = last !== undefined && isCrosswise(last.action) && units.some((t) => isClearedBy(last, t));
  return {
    last_try: last === undefined ? "none" : last.outcome === "pass" ? "passed" : "failed",
    last_action: last?.action ?? "none",
    another_unit_failed: yesNo(units.some((t) => t.part !== last?.part && t.outcome === "fail")),
    same_point_failed: EVIDENCE.find((kind) => found.includes(kind)) ?? "no",
    board_cleared: yesNo(clears),
    tries_left: yesNo(tries.length < MOST_TRIES),
  };
}

const yesNo = (holds: boolean): "yes" | "no" => (holds ? "yes" : "no");

/** What reseating cured does not count: a unit is judged by its last try. */
const standing = (tries: readonly Tried[]): readonly Tried[] => [...new Map(tries.map((t) => [keyOf(t), t])).values()];

const keyOf = (t: Tried): string => (isCrosswise(t.action) ? t.action : (t.part ?? ""));

const newUnits = (tries: readonly Tried[]): readonly Tried[] => standing(tries).filter((t) => !isCrosswise(t.action));

/** Whether something that failed with a unit works with this part on the same board. */
const isClearedBy = (good: Tried, unit: Tried): boolean => unit.failed.some((point) => !good.failed.includes(point));

/** Each point of the last try that failed with another part as well, and what that says. A point of which the board was cleared says nothing. */
function evidenceOf(
  tries: readonly Tried[],
  before: WorkedBefore,
): readonly { readonly point: string; readonly kind: Evidence }[] {
  const last = tries.at(-1);
  if (last === undefined) return [];
  const all = standing(tries);
  const isCleared = (point: string): boolean => all.some((t) => isCrosswise(t.action) && !t.failed.includes(point));
  return last.failed
    .filter((point) => !isCleared(point))
    .flatMap((point) =>
      all
        .filter((t) => keyOf(t) !== keyOf(last) && t.failed.includes(point))
        .map((t) => ({ point, kind: kindOf([last, t], before.has(point)) })),
    );
}

function kindOf(both: readonly [Tried, Tried], workedBefore: boolean): Evidence {
  const has = (action: TryAction): boolean => both.some((t) => t.action === action);
  if (has("old_part")) return workedBefore ? "old_part" : "no";
  if (has("known_good")) return "known_good";
  const [one, other] = both;
  return one.lot !== null && other.lot !== null && one.lot !== other.lot ? "other_lot" : "one_lot";
}

/** The points that prove the board to be at fault. */
export function boardPoints(tries: readonly Tried[], before: WorkedBefore): readonly string[] {
  if (nextTry(tries, before).next !== "board") return [];
  const proving = evidenceOf(tries, before).filter(({ kind }) => kind !== "no" && kind !== "one_lot");
  return [...new Set(proving.map(({ point }) => point))];
}

export type FailedUnit = { readonly part: string; readonly failed: readonly string[] };

/** Units that these tries show to be dead on arrival, each with the points it failed. */
export function deadUnits(tries: readonly Tried[], before: WorkedBefore): readonly FailedUnit[] {
  const row = nextTry(tries, before);
  if (row.dead_on_arrival !== true) return [];
  const good = standing(tries).filter((t) => isCrosswise(t.action));
  return failedUnits(tries)
    .filter((unit) => row.next === "pass" || good.some((part) => isClearedBy(part, unit.last)))
    .map(told);
}

/** Units that failed while it is not known yet whether they or the board are at fault; not one that is to be reseated. */
export function doubtfulUnits(tries: readonly Tried[], before: WorkedBefore): readonly FailedUnit[] {
  const dead = new Set(deadUnits(tries, before).map((unit) => unit.part));
  const reseated = nextTry(tries, before).next === "reseat" ? tries.at(-1)?.part : null;
  return failedUnits(tries)
    .filter(({ part }) => !dead.has(part) && part !== reseated)
    .map(told);
}

/** New units whose last try failed, each with every point it ever failed. */
export function failedUnits(tries: readonly Tried[]): readonly (FailedUnit & { readonly last: Tried })[] {
  return newUnits(tries).flatMap((last) => {
    const { part } = last;
    if (part === null || last.outcome === "pass") return [];
    const failed = [...new Set(tries.filter((t) => t.part === part).flatMap((t) => t.failed))];
    return [{ part, failed, last }];
  });
}

const told = ({ part, failed }: FailedUnit): FailedUnit => ({ part, failed });

/** The points that prove a part: the step's own, else all pre-fit points of what the part serves. */
export function prefitPoints(procedure: Procedure, step: Step): readonly string[] {
  if (step.points !== null) return step.points;
  const serves = procedure.part.serves;
  return Object.entries(testPoints)
    .filter(([, p]) => p.stages.includes("prefit") && p.serves.some((s) => serves.includes(s)))
    .map(([id]) => id);
}

/** The outcome of a try from its readings; null while it proves nothing: a point has no reading, or none could be tested. */
export function outcomeOf(readings: readonly ("pass" | "fail" | "cannot" | null)[]): "pass" | "fail" | null {
  if (readings.includes(null)) return null;
  if (readings.includes("fail")) return "fail";
  return readings.includes("pass") ? "pass" : null;
}
