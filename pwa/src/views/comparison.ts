/** A job's tests over the three stages side by side, what needs attention first. */
import type { Job, TestStage } from "../fold/state.ts";
import type { Seen } from "../rules/attribution.ts";
import { seen, verdictOf } from "../rules/tests.ts";
import { testPoints, type Verdict, verdicts } from "../tables.ts";

export type ComparisonRow = {
  readonly point: string;
  readonly name: string;
  readonly seen: Readonly<Record<TestStage, Seen>>;
  /** Why it could not be tested, by stage. */
  readonly why: Readonly<Record<TestStage, string | null>>;
  readonly verdict: string;
  readonly says: Verdict;
  /** Whether the latest of the three says that it fails. */
  readonly fails: boolean;
};

/** Every point that was read at any stage; failing ones first, then by what the verdict asks for, then as in the table. */
export function compare(job: Job): readonly ComparisonRow[] {
  const order = Object.keys(testPoints);
  const points = [...new Set(Object.keys(job.tests).map((key) => key.slice(key.indexOf("/") + 1)))];
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
    why: each((stage) => job.tests[`${stage}/${point}`]?.why ?? null),
    verdict,
    says: verdicts[verdict] as Verdict,
    fails: results[latest] === "fail",
  };
}

const OWNER_RANK: Readonly<Record<string, number>> = { ours: 0, part: 1, unknown: 2, before: 3, none: 4 };

function rank(row: ComparisonRow): number {
  const cannot = row.seen.final === "cannot" || (row.seen.final === "none" && row.seen.intake === "cannot");
  const attention = row.fails ? 0 : cannot ? 10 : row.says.blocks_ready ? 20 : 30;
  return attention + (OWNER_RANK[row.says.owner] ?? 9);
}
