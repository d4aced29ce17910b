/** Proving a new part before it is fitted: taking a unit, reading its points, closing a try. */
import { parseCode } from "../codes/codes.ts";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { NewEvent } from "../log/own.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { mayDo } from "../rules/bench.ts";
import { deadUnits, MOST_TRIES, type Next, nextTry, outcomeOf, prefitPoints, sharedFailures } from "../rules/prefit.ts";
import { pointNames, workOf } from "../views/bench.ts";
import { presentTry } from "../views/prefit.ts";
import { placeOfCode } from "../views/things.ts";
import { act } from "./act.ts";
import { doneEvents } from "./bench.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { deadOnArrival } from "./part.ts";
import { jobName } from "./tray.ts";

type Done = Result<readonly Event[]>;

/** Take a new unit for this job. */
export const assignPart = onePress(async (code: string, text: string): Promise<Done> => {
  const part = mayAssign(code, text);
  if (!part.ok) return part;
  return act(() => [{ kind: "part.assigned", job: code, body: { part: part.value } }, moved(part.value, code)]);
});

/** `code-unknown`, `part-wrong-kind`, `part-doa`, `part-of-other-job`, `part-tried`, `tries-over`, `code-clash`. */
export function mayAssign(code: string, text: string): Result<string> {
  const work = workOf(code);
  if (!work.ok) return work;
  const scanned = parseCode(text);
  if (!scanned.ok) return scanned;
  const part = scanned.value.code;
  const thing = state.value.thing.get(part);
  if (scanned.value.kind !== "P") return refuse("code-unknown", "Scan the label of the new part.");
  if (thing === undefined || thing.part_kind === null) return refuse("code-unknown", `${part} was not received yet.`);
  const { job, procedure } = work.value;
  if (thing.part_kind !== procedure.part.kind) {
    return refuse(
      "part-wrong-kind",
      `Needed: ${procedure.part.name}, ${procedure.part.kind}. Scanned: ${thing.name}, ${thing.part_kind}.`,
    );
  }
  if (thing.verdict === "doa") return refuse("part-doa");
  const place = placeOfCode(part);
  if (place.kind === "clash") return refuse("code-clash", part);
  const isElsewhere = place.kind === "at" && place.to.startsWith("J") && place.to !== code;
  if (isElsewhere) return refuse("part-of-other-job", jobName(place.to));
  if (job.tries.some((t) => t.part === part)) return refuse("part-tried");
  return job.tries.length < MOST_TRIES ? ok(part) : refuse("tries-over", `${MOST_TRIES} tries were made.`);
}

/**
 * Close the present try from its readings and write what follows from it: a pass judges the units, the same
 * fault with two units stops the job. `part-missing`, `tests-open`, `prefit-open`.
 */
export const closeTry = onePress(async (code: string, id: string): Promise<Result<Next>> => {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure } = work.value;
  const step = mayDo(job, procedure, id);
  if (!step.ok) return step;
  const points = prefitPoints(procedure, step.value);
  const now = presentTry(job, points);
  if (now.part === null) return refuse("part-missing");
  const unread = points.filter((p) => now.results[p] === null);
  if (unread.length > 0) return refuse("tests-open", pointNames(unread));
  const outcome = outcomeOf(points.map((p) => now.results[p] ?? null));
  if (outcome === null) return refuse("prefit-open", "Nothing could be tested, so nothing is proven.");
  const failed = points.filter((p) => now.results[p] === "fail");
  const tried = { try: now.number, part: now.part, action: now.action, outcome, failed };
  const tries = [...job.tries, tried];
  const next = nextTry(tries);
  const written = await act(() => [
    { kind: "prefit.tried", job: code, body: tried },
    ...consequences(code, next, tries, now.part as string),
  ]);
  return written.ok ? ok(next) : written;
});

/** The part is proven: say whether it cures the complaint, and go on. `prefit-open`. */
export const acceptPart = onePress(
  async (code: string, id: string, cured: "yes" | "no" | "unknown", note: string): Promise<Done> => {
    const work = workOf(code);
    if (!work.ok) return work;
    const { job, procedure } = work.value;
    const step = mayDo(job, procedure, id);
    if (!step.ok) return step;
    if (nextTry(job.tries).next !== "pass") return refuse("prefit-open");
    const said = {
      yes: "The new part cures the complaint.",
      no: "The new part does not cure the complaint.",
      unknown: "Whether the new part cures the complaint cannot be told yet.",
    };
    const text = note.trim() === "" ? said[cured] : `${said[cured]} ${note.trim()}`;
    return act(() => [{ kind: "note.added", job: code, body: { note: text } }, ...doneEvents(code, step.value, [])]);
  },
);

type TryRow = Parameters<typeof nextTry>[0][number];

function consequences(code: string, next: Next, tries: readonly TryRow[], part: string): readonly NewEvent[] {
  if (next.next === "board") {
    const note = (next.note ?? next.say)
      .replace("{points}", pointNames(sharedFailures(tries)))
      .replace("{tries}", String(tries.length));
    return [{ kind: "job.stopped", job: code, body: { reason: "board", note: note.slice(0, 300) } }];
  }
  if (next.next !== "pass") return [];
  return [
    { kind: "part.judged", body: { part, verdict: "good" } },
    ...deadUnits(tries).flatMap((unit): readonly NewEvent[] => {
      const why = `Failed before fitting: ${pointNames(unit.failed)}`.slice(0, 200);
      return deadOnArrival(unit.part, unit.failed, why);
    }),
  ];
}
