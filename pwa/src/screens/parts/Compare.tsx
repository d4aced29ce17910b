/** A job's tests over intake, pre-fit and final, side by side, each with what the change means. Failing ones come first. */
import "../../style/compare.css";
import { useState } from "preact/hooks";
import type { Job, TestStage } from "../../fold/state.ts";
import type { Seen } from "../../rules/attribution.ts";
import { isLocked } from "../../rules/locked.ts";
import { finalRound } from "../../rules/tests.ts";
import { lackingWhy, lockedWords, testPoints } from "../../tables/testPoints.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { type ComparisonRow, compare, type EarlierRound, earlierRounds, isLackingRow } from "../../views/comparison.ts";
import { valueWord } from "../../words/values.ts";
import { notShownWords } from "./priceWords.ts";

/** Headings of the columns. */
const STAGES: readonly (readonly [TestStage, string])[] = [
  ["intake", "Intake"],
  ["prefit", "Pre-fit"],
  ["final", "Final"],
];
const LOOK: Readonly<Record<Seen, readonly [ShapeName, string]>> = {
  pass: ["done", "good"],
  fail: ["stop", "stop"],
  cannot: ["warn", "warn"],
  none: ["open", ""],
};

/** How many rows stand there before the rest is asked for, beyond those that fail. */
const SHOWN = 6;

export function Compare({ job, all }: { readonly job: Job; readonly all?: boolean }) {
  const [wide, setWide] = useState(all === true);
  const everything = compare(job);
  const rows = everything.filter((r) => !isLackingRow(r));
  const lacking = everything.filter(isLackingRow).map((r) => r.name);
  if (everything.length === 0) return <p class="soft">Nothing was tested yet.</p>;
  const shown = wide ? rows : rows.filter((r, i) => r.fails || i < SHOWN);
  return (
    <div class="stack">
      {isLocked(job) && (
        <p>
          <strong>{lockedWords.name}.</strong> {notShownWords(job)}
        </p>
      )}
      <table class="compare">
        <thead>
          <tr>
            <th scope="col">Point</th>
            {STAGES.map(([stage, name]) => (
              <th scope="col" key={stage}>
                {name}
              </th>
            ))}
          </tr>
        </thead>
        {shown.map((row) => (
          <Row key={row.point} row={row} />
        ))}
      </table>
      {shown.length < rows.length && (
        <button type="button" class="button" onClick={() => setWide(true)}>
          Show the other {rows.length - shown.length}
        </button>
      )}
      {lacking.length > 0 && (
        <p class="soft">
          {lackingWhy}: {lacking.join(", ")}.
        </p>
      )}
      <Rounds job={job} />
    </div>
  );
}

/** Which round of the final test the table shows, and how the earlier ones ended. */
function Rounds({ job }: { readonly job: Job }) {
  const round = finalRound(job);
  if (round === 1) return null;
  return (
    <section class="stack" aria-label="Rounds of the final test">
      <p>
        <strong>Final is round {round}.</strong> The device was opened again after it was tested, so every point is
        tested anew.
      </p>
      {earlierRounds(job).map((earlier) => (
        <p key={earlier.round} class="soft">
          Round {earlier.round}: {roundWords(earlier)}.
        </p>
      ))}
    </section>
  );
}

function roundWords({ works, fails, cannot }: EarlierRound): string {
  return [
    works > 0 ? `${works} ${works === 1 ? "works" : "work"}` : "",
    fails.length > 0 ? `fails: ${fails.join(", ")}` : "",
    cannot.length > 0 ? `no test: ${cannot.join(", ")}` : "",
  ]
    .filter((words) => words !== "")
    .join("; ");
}

/** Verdicts that say no more than the results beside them. */
const QUIET: ReadonlySet<string> = new Set(["open", "as_before"]);

function Row({ row }: { readonly row: ComparisonRow }) {
  const why = reasons(row);
  /** That the reason stands on the record need not be said beside the reason itself. */
  const isPlain = QUIET.has(row.verdict) || (row.verdict === "not_testable" && why.length > 0);
  return (
    <tbody class={row.fails ? "fails" : ""}>
      <tr>
        <th scope="row">{row.name}</th>
        {STAGES.map(([stage]) => (
          <td key={stage}>
            <Result
              seen={row.seen[stage]}
              locked={row.because[stage] === "locked"}
              belongs={testPoints[row.point]?.stages.includes(stage) !== false}
            />
          </td>
        ))}
      </tr>
      {(!isPlain || why.length > 0) && (
        <tr>
          <td colSpan={4}>
            {!isPlain && (
              <>
                <strong>{row.says.name}.</strong> {row.says.say}{" "}
              </>
            )}
            {why.length > 0 && <span class="soft">{why.join(". ")}.</span>}
          </td>
        </tr>
      )}
    </tbody>
  );
}

/** What was written at each stage; the same words at two stages are said once. */
function reasons(row: ComparisonRow): readonly string[] {
  const stagesByText = new Map<string, string[]>();
  for (const [stage, name] of STAGES) {
    const text = row.why[stage]?.replace(/\.$/, "");
    if (text !== undefined) stagesByText.set(text, [...(stagesByText.get(text) ?? []), name]);
  }
  return [...stagesByText].map(([text, names]) => `${names.join(" and ")}: ${text}`);
}

type ResultProps = { readonly seen: Seen; readonly locked: boolean; readonly belongs: boolean };

function Result({ seen, locked, belongs }: ResultProps) {
  const [shape, tone] = LOOK[seen];
  const word = seen === "none" ? "open" : valueWord("test_result", seen);
  if (seen === "none" && !belongs) return <span class="soft small">not here</span>;
  return (
    <span class={`compare-seen mark ${tone}`}>
      <Shape name={shape} size={20} />
      {locked ? "locked" : word}
    </span>
  );
}
