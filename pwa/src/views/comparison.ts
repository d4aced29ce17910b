/** A job's tests over the three stages side by side, what needs attention first. */
import { reasonOf } from "../facts/reasons.ts";
import type { Because, Job, TestStage } from "../fold/state.ts";
import type { Seen } from "../rules/attribution.ts";
import { isLacking } from "../rules/lacking.ts";
import { finalReading, finalRound, pointsRead, readingOf, seen, verdictOf } from "../rules/tests.ts";
import { type Verdict, verdicts } from "../tables/attribution.ts";
import { testPoints } from "../tables/testPoints.ts";

export type ComparisonRow = {
  readonly point: string;
  readonly name: string;
  readonly seen: Readonly<Record<TestStage, Seen>>;
  /** The value of the reason on the reading, by stage, and the reason in words. */
  readonly because: Readonly<Record<TestStage, Because | null>>;
  readonly why: Readonly<Record<TestStage, string | null>>;
  readonly verdict: string;
  readonly says: Verdict;
  /** Whether the latest of the three says that it fails. */
  readonly fails: boolean;
};

/** Every point that was read at any stage, at the end in the round that counts; failing ones first, then by what the verdict asks for, then as in the table. */
export function compare(job: Job): readonly ComparisonRow[] {
  const order = Object.keys(testPoints);
  const keys = [...Object.keys(job.tests), ...Object.keys(job.final_tests)];
  const points = [...new Set(keys.map((key) => key.slice(key.indexOf("/") + 1)))];
  return points
    .map((point) => row(job, point))
    .sort((a, b) => rank(a) - rank(b) || order.indexOf(a.point) - order.indexOf(b.point));
}

export const failing = (job: Job): readonly ComparisonRow[] => compare(job).filter((r) => r.fails);

function row(job: Job, point: string): ComparisonRow {
  const each = <T>(read: (stage: TestStage) => T) => ({
    intake: read("intake"),
    prefit: read("prefit"),
    final: read("final"),
  });
  const results = each((stage) => seen(job, stage, point));
  const verdict = verdictOf(job, point);
  const latest = (["final", "prefit", "intake"] as const).find((stage) => results[stage] !== "none") ?? "intake";
  return {
    point,
    name: testPoints[point]?.name ?? point,
    seen: results,
    because: each((stage) => readingOf(job, stage, point)?.because ?? null),
    why: each((stage) => reasonOf(point, readingOf(job, stage, point))),
    verdict,
    says: verdicts[verdict] as Verdict,
    fails: results[latest] === "fail",
  };
}

/** The model has none of it: so says the latest reading, and no other one had an outcome. */
export function isLackingRow(row: ComparisonRow): boolean {
  const stages = ["final", "prefit", "intake"] as const;
  const latest = stages.find((stage) => row.seen[stage] !== "none");
  const isUnknown = stages.every((stage) => row.seen[stage] === "cannot" || row.seen[stage] === "none");
  return isUnknown && latest !== undefined && row.because[latest] === "lacking";
}

export type EarlierRound = {
  readonly round: number;
  readonly works: number;
  /** Names of the points that failed, and of those that could not be tested. */
  readonly fails: readonly string[];
  readonly cannot: readonly string[];
};

/** Rounds of the final test before the one that counts, as they ended. */
export function earlierRounds(job: Job): readonly EarlierRound[] {
  const rounds = [1, ...new Set(job.final_rounds.map((begun) => begun.round))].sort((a, b) => a - b);
  return rounds
    .filter((round) => round < finalRound(job))
    .map((round) => ({ round, read: told(job, round) }))
    .filter(({ read }) => read.length > 0)
    .map(({ round, read }) => {
      const which = (result: string) => read.filter((p) => finalReading(job, round, p)?.result === result);
      const names = (points: readonly string[]) => points.map((p) => testPoints[p]?.name ?? p);
      return { round, works: which("pass").length, fails: names(which("fail")), cannot: names(which("cannot")) };
    });
}

/** What a round of the final test read, without what the model has not, in the order of the table. */
function told(job: Job, round: number): readonly string[] {
  const order = Object.keys(testPoints);
  return pointsRead(job, round)
    .filter((p) => !isLacking(finalReading(job, round, p)))
    .sort((a, b) => order.indexOf(a) - order.indexOf(b));
}

const OWNER_RANK: Readonly<Record<string, number>> = { ours: 0, part: 1, unknown: 2, before: 3, none: 4 };

function rank(row: ComparisonRow): number {
  const last = row.seen.final === "none" ? "intake" : "final";
  const cannot = row.seen[last] === "cannot";
  // What the lock bars is named together, and hides nothing that wants a look.
  const barred = cannot && row.because[last] === "locked";
  const attention = row.fails ? 0 : barred || isLackingRow(row) ? 40 : cannot ? 10 : row.says.blocks_ready ? 20 : 30;
  return attention + (OWNER_RANK[row.says.owner] ?? 9);
}
