/** The tests of a repair record: the three stages side by side, earlier rounds, what the lock kept from being shown. */
import recordTable from "@shared/record.json";
import type { Job, TestStage } from "../fold/state.ts";
import { isLocked } from "../rules/locked.ts";
import { finalRound, notShown } from "../rules/tests.ts";
import { testPoints } from "../tables/testPoints.ts";
import { type ComparisonRow, compare, type EarlierRound, earlierRounds, isLackingRow } from "./comparison.ts";
import type { Fact, Part, Row, Sheet } from "./record.ts";
import { filled, pointNames } from "./recordWords.ts";

const VERDICTS: Readonly<Record<string, string>> = recordTable.verdicts;
const { rounds: ROUNDS, locked: LOCKED } = recordTable;
const STAGES: readonly TestStage[] = ["intake", "prefit", "final"];
/** Fewer are told one by one. */
const LEAST_ALIKE = 3;

export type Point = { readonly point: string; readonly row: Row; readonly verdict: string };

/** Every point that was read at any stage: those that fail first, else in the order of the table. */
export const pointsOf = (job: Job): readonly Point[] => ordered(compare(job)).map(pointOf);

function ordered(rows: readonly ComparisonRow[]): readonly ComparisonRow[] {
  const known = Object.keys(testPoints);
  const place = ({ point }: ComparisonRow) => (known.includes(point) ? known.indexOf(point) : known.length);
  return [...rows].sort(
    (a, b) => Number(b.fails) - Number(a.fails) || place(a) - place(b) || (a.point < b.point ? -1 : 1),
  );
}

function pointOf(r: ComparisonRow): Point {
  const why = [...STAGES].reverse().find((stage) => r.seen[stage] === "cannot" && r.why[stage] !== null);
  const said = VERDICTS[toldVerdict(r)] ?? "";
  const row = {
    name: r.name,
    results: STAGES.map((stage) => r.seen[stage]),
    fails: r.fails,
    says: why === undefined ? said : `${said} ${r.why[why]}`,
  };
  return { point: r.point, row, verdict: r.verdict };
}

/** As the bench has it; what was not tested again still has its first result. */
function toldVerdict(r: ComparisonRow): string {
  if (r.verdict !== "open") return r.verdict;
  return r.seen.intake === "pass" ? "open_worked" : r.seen.intake === "fail" ? "open_failed" : "open";
}

/**
 * For the customer: points that need a line of their own, and what is said of all the others together. What the lock
 * barred is named once for all, and what the model has not is not named.
 */
export function toldRows(job: Job): Pick<Sheet, "rows" | "alike"> {
  const barred = new Set(isLocked(job) ? notShown(job) : []);
  const points = ordered(compare(job).filter((r) => !isLackingRow(r))).map(pointOf);
  const alike = alikeOf(points.map(({ row }) => row));
  const together = new Set(alike.flatMap(([, names]) => names));
  const isNamed = ({ point, row }: Point) => together.has(row.name) || (barred.has(point) && hasNoOutcome(row));
  return {
    rows: points.filter((point) => !isNamed(point)).map(({ row }) => row),
    alike: alike.map(([says, names]): Fact => [says, names.join(", ")]),
  };
}

/** What is said of several points that worked whenever they were tested, and their names. */
function alikeOf(rows: readonly Row[]): readonly (readonly [string, readonly string[]])[] {
  const names = new Map<string, string[]>();
  for (const { results, says, name } of rows) {
    if (results.every((seen) => seen === "pass" || seen === "none"))
      names.set(says, [...(names.get(says) ?? []), name]);
  }
  return [...names].filter(([, points]) => points.length >= LEAST_ALIKE);
}

const hasNoOutcome = (row: Row): boolean => row.results.every((seen) => seen === "cannot" || seen === "none");

/** Of a device that stayed locked: so it was tested, and what therefore could not be shown. */
export function lockedPart(job: Job): Part {
  const none = { title: LOCKED.title, facts: [], lines: [] };
  if (!isLocked(job)) return none;
  const barred = notShown(job);
  const said = barred.length === 0 ? [] : [filled(LOCKED.not_shown, { names: pointNames(barred) })];
  return { ...none, lines: [job.lock_changes.length > 0 ? LOCKED.changed : LOCKED.kept, ...said] };
}

/** What earlier rounds of the final test said, after which the device was opened again. */
export function roundsPart(job: Job): Part | null {
  const earlier = earlierRounds(job);
  if (earlier.length === 0) return null;
  const now = filled(ROUNDS.now, { round: finalRound(job) });
  return { title: ROUNDS.title, facts: [], lines: [now, ...earlier.map(roundWords)] };
}

function roundWords({ round, works, fails, cannot }: EarlierRound): string {
  const said = [
    works > 0 ? filled(ROUNDS.works, { count: works }) : null,
    fails.length > 0 ? filled(ROUNDS.fails, { names: fails.join(", ") }) : null,
    cannot.length > 0 ? filled(ROUNDS.cannot, { names: cannot.join(", ") }) : null,
  ];
  return `${filled(ROUNDS.before, { round })}: ${said.filter((words) => words !== null).join("; ")}.`;
}
