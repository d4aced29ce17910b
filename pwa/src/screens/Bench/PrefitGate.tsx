/** The pre-fit gate: take a unit, test it, and walk on as shared/prefit.json says. Every try stays in sight. */

import { useRef } from "preact/hooks";
import { assignPart, closeTry, mayTryOut } from "../../actions/prefit.ts";
import { readTest } from "../../actions/tests.ts";
import { state } from "../../current.ts";
import { nextOf, type PresentTry, presentTry, unpluggedReason } from "../../facts/prefit.ts";
import { reasonOf } from "../../facts/reasons.ts";
import type { Bench } from "../../facts/work.ts";
import { isLocked } from "../../rules/locked.ts";
import { actionOf, type Crosswise, isCrosswise, prefitPoints, type TryAction, tryActions } from "../../rules/prefit.ts";
import type { Step } from "../../rules/procedure.ts";
import { lockedWords } from "../../tables/testPoints.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { groupCode, lower } from "../../words/format.ts";
import { LockChange } from "../parts/LockChange.tsx";
import { useKept } from "./kept.ts";
import { PointRow } from "./PointRow.tsx";
import { Proven } from "./Proven.tsx";
import { StepPage } from "./StepPage.tsx";
import { Tries } from "./Tries.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function PrefitGate(props: Props) {
  if (nextOf(props.bench.job).next === "pass") return <Proven {...props} />;
  return <Trying {...props} key={props.bench.job.tries.length} />;
}

/** What is tried instead of a new unit, and the label of a known-good one. */
type Tryout = { readonly action: Crosswise | null; readonly part: string | null };

function Trying({ bench, step }: Props) {
  const tryout = useKept<Tryout>(`bench:${bench.code}:${step.id}:${bench.job.tries.length}`, {
    action: null,
    part: null,
  });
  const { problem, run } = useAct();
  const scanner = useRef<HTMLDivElement>(null);
  const points = prefitPoints(bench.procedure, step);
  const { action: crosswise, part: known } = tryout.value;
  const now = presentTry(bench.job, points, crosswise);
  const action = tryActions[now.action];
  const take = (text: string) => run(() => assignPart(bench.code, text));
  const name = (text: string) =>
    run(
      () => mayTryOut(bench.code, text),
      (part) => tryout.change({ part }),
    );
  const close = async (): Promise<void> => {
    const tried =
      crosswise === null ? undefined : { action: crosswise, part: crosswise === "known_good" ? known : null };
    if (!(await run(() => closeTry(bench.code, step.id, tried)))) return;
    tryout.drop();
    scrollTo(0, 0);
  };
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        now.ready ? (
          <Button onPress={close} tone="main">
            Close try {now.number}
          </Button>
        ) : (
          <Button onPress={() => scanner.current?.scrollIntoView({ block: "center" })} tone="main">
            Scan the {action.unit}
          </Button>
        )
      }
    >
      <Tries bench={bench} />
      <h2>{now.number === 1 ? action.name : `Try ${now.number}: ${lower(action.name)}`}</h2>
      <p>{now.say}</p>
      {now.or.length > 0 && now.part === null && (
        <Ways bench={bench} now={now} onChoose={(way) => tryout.change({ action: way, part: null })} />
      )}
      {action.warning !== undefined && (
        <Notice tone="warn" title={action.warning}>
          <p>{action.how}</p>
        </Notice>
      )}
      {!now.ready && (
        <div ref={scanner}>
          <Scanner onFound={take} say="Label of the new part" enterWord="Take it" />
        </div>
      )}
      {now.ready && (
        <>
          {isCrosswise(now.action) ? (
            <Other action={now.action} part={known} onName={name} />
          ) : (
            <Unit part={now.part} />
          )}
          {isLocked(bench.job) ? (
            <Notice tone="warn" title={`${lockedWords.name}: as far as it goes`}>
              <p>{lockedWords.caution}</p>
            </Notice>
          ) : (
            <a class="button" href={`#/self-test/${bench.code}/prefit`}>
              Let the device test itself
            </a>
          )}
          <LockChange code={bench.code} job={bench.job} />
          <ul class="rows">
            {points.map((point) => (
              <PointRow
                key={`${now.number}/${point}`}
                point={point}
                result={now.results[point] ?? null}
                why={reasonOf(point, bench.job.tests[`prefit/${point}`])}
                locked={isLocked(bench.job)}
                ready={unpluggedReason(bench.job, bench.procedure, point)}
                onSay={({ result, why }) => readTest(bench.code, "prefit", { point, result, why, try: now.number })}
              />
            ))}
          </ul>
        </>
      )}
    </StepPage>
  );
}

type WaysProps = {
  readonly bench: Bench;
  readonly now: PresentTry;
  readonly onChoose: (way: Crosswise | null) => void;
};

/** What tells whether part or board is at fault: any one of these. */
function Ways({ bench, now, onChoose }: WaysProps) {
  const asked = actionOf(nextOf(bench.job)) ?? "other_lot";
  const ways: readonly TryAction[] = [asked, ...now.or];
  return (
    <Choice
      label="Which is at hand?"
      options={ways.map((way) => ({ value: way, name: tryActions[way].name }))}
      value={now.action}
      onChoose={(way) => onChoose(isCrosswise(way) ? way : null)}
    />
  );
}

function Unit({ part }: { readonly part: string | null }) {
  const thing = part === null ? undefined : state.value.thing.get(part);
  return (
    <p>
      Unit <strong class="code">{part === null ? "without a label" : groupCode(part)}</strong>: {thing?.name}, lot{" "}
      {thing?.lot}
    </p>
  );
}

type OtherProps = {
  readonly action: Crosswise;
  readonly part: string | null;
  readonly onName: (text: string) => void;
};

/** The old part has no label; a known-good unit may have one. */
function Other({ action, part, onName }: OtherProps) {
  if (action === "old_part") return <p>It shows what fails with the old part too. Only the points below are asked.</p>;
  if (part !== null) return <Unit part={part} />;
  return (
    <details class="bench-more">
      <summary>It has a label</summary>
      <Scanner onFound={onName} say="Label of the unit known to be good" enterWord="This one" />
    </details>
  );
}
