/** Proving a new part before it is fitted: taking a unit, reading its points, closing a try. */
import { readScan } from "../codes/scanned.ts";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { lotOf, nextOf, presentTry, triesOf, workedBefore } from "../facts/prefit.ts";
import { placeOfCode } from "../facts/things.ts";
import { type Work, workOf } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { mayDo } from "../rules/bench.ts";
import {
  actionOf,
  boardPoints,
  type Crosswise,
  deadUnits,
  doubtfulUnits,
  isCrosswise,
  MOST_TRIES,
  type Next,
  nextTry,
  outcomeOf,
  prefitPoints,
  stopsFor,
  type Tried,
  type WorkedBefore,
} from "../rules/prefit.ts";
import type { Procedure } from "../rules/procedure.ts";
import { pointNames } from "../words/points.ts";
import { act } from "./act.ts";
import { setApart } from "./judge.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { jobName } from "./tray.ts";

type Done = Result<readonly Event[]>;

/** Take a new unit for this job. */
export const assignPart = onePress(async (code: string, text: string): Promise<Done> => {
  const part = mayAssign(code, text);
  if (!part.ok) return part;
  return act(() => [{ kind: "part.assigned", job: code, body: { part: part.value } }, moved(part.value, code)]);
});

/** `code-unknown`, `part-wrong-kind`, `part-doa`, `part-doubtful`, `part-of-other-job`, `part-tried`, `part-same-lot`, `tries-over`, `code-clash`. */
export function mayAssign(code: string, text: string): Result<string> {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure } = work.value;
  const unit = unitOf(text, procedure);
  if (!unit.ok) return unit;
  const part = unit.value;
  if (job.tries.some((t) => t.part === part)) return refuse("part-tried");
  const judged = notBad(part);
  if (!judged.ok) return judged;
  const place = placeOfCode(part);
  if (place.kind === "clash") return refuse("code-clash", part);
  const isElsewhere = place.kind === "at" && place.to.startsWith("J") && place.to !== code;
  if (isElsewhere) return refuse("part-of-other-job", jobName(place.to));
  if (job.tries.length >= MOST_TRIES) return refuse("tries-over", `${MOST_TRIES} tries were made.`);
  const failed = triesOf(job).filter((t) => t.outcome === "fail" && !isCrosswise(t.action));
  const isSameLot = failed.some((t) => t.lot !== null && t.lot === lotOf(part));
  if (actionOf(nextOf(job)) === "other_lot" && isSameLot)
    return refuse("part-same-lot", `Lot ${state.value.thing.get(part)?.lot}.`);
  return ok(part);
}

/** The unit of a label, when it is of the kind that this procedure fits. */
function unitOf(text: string, procedure: Procedure): Result<string> {
  const scanned = readScan(text);
  if (!scanned.ok) return scanned;
  if (scanned.value.is === "other") return refuse("code-unreadable");
  if (scanned.value.is !== "code" || scanned.value.kind !== "P")
    return refuse("code-unknown", "Scan the label of the new part.");
  const part = scanned.value.code;
  const thing = state.value.thing.get(part);
  if (thing === undefined || thing.part_kind === null) return refuse("code-unknown", `${part} was not received yet.`);
  if (thing.part_kind !== procedure.part.kind) {
    return refuse(
      "part-wrong-kind",
      `Needed: ${procedure.part.name}, ${procedure.part.kind}. Scanned: ${thing.name}, ${thing.part_kind}.`,
    );
  }
  return ok(part);
}

function notBad(part: string): Result<string> {
  const verdict = state.value.thing.get(part)?.verdict;
  if (verdict === "doa") return refuse("part-doa");
  return verdict === "doubtful" ? refuse("part-doubtful") : ok(part);
}

/** A part that is tried but never fitted: the old one, or a known-good unit, with its label when it has one. */
export type Tryout = { readonly action: Crosswise; readonly part: string | null };

/** The label of a known-good unit. As `mayAssign`, but that it lies elsewhere does not matter. */
export function mayTryOut(code: string, text: string): Result<string> {
  const work = workOf(code);
  if (!work.ok) return work;
  const unit = unitOf(text, work.value.procedure);
  if (!unit.ok) return unit;
  return work.value.job.tries.some((t) => t.part === unit.value) ? refuse("part-tried") : notBad(unit.value);
}

/**
 * Close the present try from its readings and write what follows from it: a pass judges the units, units that failed are
 * set apart, a fault proven on the board or the last try stops the job. `part-missing`, `tests-open`, `prefit-open`.
 */
export const closeTry = onePress(async (code: string, id: string, tryout?: Tryout): Promise<Result<Next>> => {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure } = work.value;
  const step = mayDo(job, procedure, id);
  if (!step.ok) return step;
  const points = prefitPoints(procedure, step.value);
  const now = presentTry(job, points, tryout?.action ?? null);
  if (!now.ready) return refuse("part-missing");
  const unread = points.filter((p) => now.results[p] === null);
  if (unread.length > 0) return refuse("tests-open", pointNames(unread));
  const outcome = outcomeOf(points.map((p) => now.results[p] ?? null));
  if (outcome === null) return refuse("prefit-open", "Nothing could be tested, so nothing is proven.");
  const disputed = isCrosswise(now.action) ? untold(job, points, now.results) : [];
  if (disputed.length > 0)
    return refuse(
      "prefit-open",
      `${pointNames(disputed)}: it failed with a new unit, so see whether it works with this.`,
    );
  const failed = points.filter((p) => now.results[p] === "fail");
  const part = now.part ?? (now.action === tryout?.action ? tryout.part : null);
  const body = { try: now.number, action: now.action, outcome, failed };
  const tries = [...triesOf(job), { ...body, part, lot: lotOf(part) }];
  const before = workedBefore(job);
  const next = nextTry(tries, before);
  const done = await act(() => [
    { kind: "prefit.tried", job: code, body: part === null ? body : { ...body, part } },
    ...consequences(code, next, tries, before),
  ]);
  return done.ok ? ok(next) : done;
});

/** Points that a new unit failed and of which this try says nothing. */
const untold = (job: Work["job"], points: readonly string[], results: Readonly<Record<string, string | null>>) =>
  points.filter(
    (p) => results[p] === "cannot" && job.tries.some((t) => !isCrosswise(t.action) && t.failed.includes(p)),
  );

function consequences(code: string, next: Next, tries: readonly Tried[], before: WorkedBefore): readonly NewEvent[] {
  const proven = next.next === "pass" ? (tries.at(-1)?.part ?? null) : null;
  const reason = stopsFor(next);
  return [
    ...(proven === null ? [] : [{ kind: "part.judged" as const, body: { part: proven, verdict: "good" as const } }]),
    ...deadUnits(tries, before).flatMap((unit) => setApart(unit, "doa")),
    ...doubtfulUnits(tries, before).flatMap((unit) => setApart(unit, "doubtful")),
    ...(reason === null ? [] : [stopped(code, reason, next, tries, before)]),
  ];
}

function stopped(
  code: string,
  reason: "board" | "parts",
  next: Next,
  tries: readonly Tried[],
  before: WorkedBefore,
): NewEvent {
  const note = (next.note ?? next.say)
    .replace("{points}", pointNames(boardPoints(tries, before)))
    .replace("{tries}", String(tries.length));
  return { kind: "job.stopped", job: code, body: { reason, note: note.slice(0, 300) } };
}
