/** The pre-fit gate: take a unit, test it, and walk on as shared/prefit.json says. Every try stays in sight. */
import { useRef, useState } from "preact/hooks";
import { acceptPart, assignPart, closeTry } from "../../actions/prefit.ts";
import { readTest } from "../../actions/tests.ts";
import { state } from "../../current.ts";
import type { Problem } from "../../problem.ts";
import { isLocked } from "../../rules/locked.ts";
import { nextTry, prefitPoints, tryActions } from "../../rules/prefit.ts";
import type { Step } from "../../rules/procedure.ts";
import { lockedWords } from "../../tables/testPoints.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { groupCode } from "../../ui/format.ts";
import { Notice } from "../../ui/Notice.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { type Bench, pointNames } from "../../views/bench.ts";
import { presentTry, unpluggedReason } from "../../views/prefit.ts";
import { lower } from "../../views/status.ts";
import { PointRow } from "./PointRow.tsx";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function PrefitGate(props: Props) {
  if (nextTry(props.bench.job.tries).next === "pass") return <Proven {...props} />;
  return <Trying {...props} />;
}

function Trying({ bench, step }: Props) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const scanner = useRef<HTMLDivElement>(null);
  const points = prefitPoints(bench.procedure, step);
  const now = presentTry(bench.job, points);
  const action = tryActions[now.action];
  const thing = now.part === null ? undefined : state.value.thing.get(now.part);
  const take = async (text: string): Promise<void> => {
    const taken = await assignPart(bench.code, text);
    setProblem(taken.ok ? null : taken.problem);
  };
  const close = async (): Promise<void> => {
    const next = await closeTry(bench.code, step.id);
    setProblem(next.ok ? null : next.problem);
    if (next.ok) scrollTo(0, 0);
  };
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        now.part === null ? (
          <Button onPress={() => scanner.current?.scrollIntoView({ block: "center" })} tone="main">
            Scan the {action.unit}
          </Button>
        ) : (
          <Button onPress={() => void close()} tone="main">
            Close try {now.number}
          </Button>
        )
      }
    >
      <Tries bench={bench} />
      <h2>{now.number === 1 ? action.name : `Try ${now.number}: ${lower(action.name)}`}</h2>
      <p>{now.say}</p>
      {action.warning !== undefined && (
        <Notice tone="warn" title={action.warning}>
          <p>{action.how}</p>
        </Notice>
      )}
      {now.part === null ? (
        <div ref={scanner}>
          <Scanner onFound={(text) => void take(text)} say="Label of the new part" enterWord="Take it" />
        </div>
      ) : (
        <>
          <p>
            Unit <strong class="code">{groupCode(now.part)}</strong>: {thing?.name}, lot {thing?.lot}
          </p>
          {isLocked(bench.job) ? (
            <Notice tone="warn" title={`${lockedWords.name}: as far as it goes`}>
              <p>{lockedWords.caution}</p>
            </Notice>
          ) : (
            <a class="button" href={`#/self-test/${bench.code}/prefit`}>
              Let the device test itself
            </a>
          )}
          <ul class="rows">
            {points.map((point) => (
              <PointRow
                key={`${now.number}/${point}`}
                point={point}
                result={now.results[point] ?? null}
                why={bench.job.tests[`prefit/${point}`]?.why ?? null}
                locked={isLocked(bench.job)}
                ready={unpluggedReason(bench.job, bench.procedure, point)}
                onSay={async ({ result, why }) => {
                  const written = await readTest(bench.code, "prefit", { point, result, why, try: now.number });
                  return written.ok ? null : written.problem;
                }}
              />
            ))}
          </ul>
        </>
      )}
    </StepPage>
  );
}

export function Tries({ bench }: { readonly bench: Bench }) {
  if (bench.job.tries.length === 0) return null;
  return (
    <ol class="rows" aria-label="Tries so far">
      {bench.job.tries.map((t) => (
        <li key={t.event}>
          <span class={`mark ${t.outcome === "pass" ? "good" : "stop"}`}>
            <Shape name={t.outcome === "pass" ? "done" : "stop"} />
            Try {t.try}
            {tryActions[t.action].past !== undefined && `, ${tryActions[t.action].past}`}:{" "}
            {t.outcome === "pass" ? "works" : "fails"}
          </span>
          <p class="soft">
            Unit <span class="code">{groupCode(t.part)}</span>
            {t.failed.length > 0 && <>. Failed: {pointNames(t.failed)}</>}
          </p>
        </li>
      ))}
    </ol>
  );
}

const CURED = [
  { value: "yes", name: "Yes" },
  { value: "no", name: "No" },
  { value: "unknown", name: "Cannot tell yet" },
] as const;

function Proven({ bench, step }: Props) {
  const [cured, setCured] = useState<"yes" | "no" | "unknown" | null>(null);
  const [note, setNote] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const accept = async (): Promise<void> => {
    if (cured === null) return setProblem({ slug: "answer-missing", detail: "Does it cure the complaint?" });
    const written = await acceptPart(bench.code, step.id, cured, note);
    if (!written.ok) return setProblem(written.problem);
    scrollTo(0, 0);
  };
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => void accept()} tone="main">
          Part proven: go on
        </Button>
      }
    >
      <Tries bench={bench} />
      <p>{nextTry(bench.job.tries).say}</p>
      <blockquote class="big">{bench.job.complaint}</blockquote>
      <Choice label="Does the new part cure this complaint?" options={CURED} value={cured} onChoose={setCured} across />
      {cured === "no" && (
        <Notice tone="warn" title="The cause lies elsewhere">
          <p>Speak with the counter before you fit the part. The job can be stopped below.</p>
        </Notice>
      )}
      <TextField label="Note, if it helps" value={note} onInput={setNote} maxLength={500} />
    </StepPage>
  );
}
