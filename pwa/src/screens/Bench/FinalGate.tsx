/** The final test: the complaint first, then every point, group by group; each failure says at once whose it is. */
import { useState } from "preact/hooks";
import { closeTests } from "../../actions/gates.ts";
import { readLacking, readTest } from "../../actions/tests.ts";
import { reasonAgain, reasonOf } from "../../facts/reasons.ts";
import type { Bench } from "../../facts/work.ts";
import type { Job } from "../../fold/state.ts";
import type { Result } from "../../problem.ts";
import { lackingOf } from "../../rules/lacking.ts";
import { isLocked, isLockedOut } from "../../rules/locked.ts";
import type { Step } from "../../rules/procedure.ts";
import {
  blockingFinal,
  finalRound,
  lacksReason,
  openFinal,
  pointsOf,
  readingOf,
  seen,
  verdictOf,
} from "../../rules/tests.ts";
import { verdicts } from "../../tables/attribution.ts";
import { lackingWhy, testGroups, testPoints } from "../../tables/testPoints.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { lower } from "../../words/format.ts";
import { pointName, pointNames } from "../../words/points.ts";
import { Compare } from "../parts/Compare.tsx";
import { LockChange } from "../parts/LockChange.tsx";
import { useAnswer } from "./answer.ts";
import { Complaint } from "./Complaint.tsx";
import { LockedTest } from "./LockedTest.tsx";
import { PointRow, type Said } from "./PointRow.tsx";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function FinalGate({ bench, step }: Props) {
  const { problem, answer } = useAnswer();
  const open = openFinal(bench.job);
  const against = blockingFinal(bench.job, bench.procedure);
  const groups = Object.entries(testGroups)
    .map(([id, name]) => ({ id, name, points: pointsOf("final").filter((p) => testPoints[p]?.group === id) }))
    .filter((g) => g.points.length > 0);
  const left = open.length > 0 ? `${open.length} of ${pointsOf("final").length} points open` : "Every point tested";
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => answer(() => closeTests(bench.code, step.id))} tone="main">
          {open.length > 0 ? `Close the test: ${open.length} still open` : "Close the test"}
        </Button>
      }
    >
      <Complaint bench={bench} step={step} />
      <p class="big">
        {left}
        {against.length > 0 && `, ${against.length} against closing`}
      </p>
      <Anew job={bench.job} />
      <Lacking bench={bench} open={open} />
      {isLocked(bench.job) && <LockedTest code={bench.code} stage="final" open={open} />}
      {open.length > 0 && !isLocked(bench.job) && (
        <a class="button" href={`#/self-test/${bench.code}/final`}>
          Let the device test itself
        </a>
      )}
      <LockChange code={bench.code} job={bench.job} />
      {against.length > 0 && <Against bench={bench} points={against} />}
      {groups.map((group) => (
        <section key={group.id} aria-labelledby={`final-${group.id}`}>
          <h2 id={`final-${group.id}`}>{group.name}</h2>
          <ul class="rows">
            {group.points.map((point) => (
              <FinalPoint key={point} bench={bench} point={point} blocks={against.includes(point)} />
            ))}
          </ul>
        </section>
      ))}
    </StepPage>
  );
}

/** Why a device that was tested before is tested again. */
function Anew({ job }: { readonly job: Job }) {
  const round = finalRound(job);
  if (round === 1) return null;
  const why = job.final_rounds.findLast((begun) => begun.round === round)?.why;
  return (
    <Notice tone="warn" title={`Round ${round}: every point anew`}>
      <p>
        {why != null && `${why}. `}The device was tested before that, so the earlier readings no longer count. They stay
        on the record.
      </p>
    </Notice>
  );
}

/** Points that the model has not, as intake found: one press for all of them. */
function Lacking({ bench, open }: { readonly bench: Bench; readonly open: readonly string[] }) {
  const { problem, run } = useAct();
  const lacking = lackingOf(bench.job, open);
  if (lacking.length === 0) return null;
  const enter = () => run(() => readLacking(bench.code, "final", lacking));
  return (
    <div class="stack">
      <Button onPress={enter}>
        Enter these {lacking.length}: {lower(lackingWhy)}
      </Button>
      <p class="soft">{pointNames(lacking)}</p>
      {problem !== null && <Refusal problem={problem} />}
    </div>
  );
}

/** What stands against closing, first of all; and the three stages side by side for whoever wants to look closer. */
function Against({ bench, points }: { readonly bench: Bench; readonly points: readonly string[] }) {
  return (
    <section class="stack" aria-labelledby="final-against">
      <h2 id="final-against">Against closing</h2>
      {points.map((point) => {
        const verdict = verdicts[verdictOf(bench.job, point)];
        const isPaired = bench.procedure.pairs.some((p) => p.test === point);
        return (
          <p class="bench-verdict blocks" key={point}>
            <strong>
              {pointName(point)}: {verdict?.name.toLowerCase()}.
            </strong>{" "}
            {verdict?.say} {isPaired && "It is paired to this device: it must work, unless it did not at intake."}
          </p>
        );
      })}
      <details class="bench-more">
        <summary>Compare the three stages</summary>
        <Compare job={bench.job} />
      </details>
    </section>
  );
}

function FinalPoint({
  bench,
  point,
  blocks,
}: {
  readonly bench: Bench;
  readonly point: string;
  readonly blocks: boolean;
}) {
  const final = seen(bench.job, "final", point);
  const reading = readingOf(bench.job, "final", point);
  const verdict = verdicts[verdictOf(bench.job, point)];
  const before = bench.job.tests[`intake/${point}`];
  const say = ({ result, why }: Said) => readTest(bench.code, "final", { point, result, why });
  const unknown = final === "fail" && verdictOf(bench.job, point) === "unknown_before" && lacksReason(reading);
  return (
    <>
      <PointRow
        point={point}
        result={final === "none" ? null : final}
        why={reasonOf(point, reading)}
        locked={isLocked(bench.job)}
        ready={before?.result === "cannot" && !isLockedOut(before) ? reasonAgain(point, before) : null}
        {...(verdict === undefined ? {} : { verdict: { name: verdict.name, say: verdict.say, blocks } })}
        onSay={say}
      />
      {unknown && (
        <li>
          <AgreedNote onSay={(why) => say({ result: "fail", why })} />
        </li>
      )}
    </>
  );
}

/** The way on for a failure nobody could know of: what was agreed with the customer stands on the reading. */
function AgreedNote({ onSay }: { readonly onSay: (why: string) => Promise<Result<unknown>> }) {
  const [why, setWhy] = useState("");
  const { problem, run } = useAct();
  const enter = () => why.trim() !== "" && run(() => onSay(why));
  return (
    <div class="stack">
      <TextField label="Agreed with the customer" value={why} onInput={setWhy} hint="Who was told, and what was said" />
      <Button onPress={enter}>Note it and leave it as it is</Button>
      {problem !== null && <Refusal problem={problem} />}
    </div>
  );
}
