/** Once more after the glue: what worked at the final test is tried again, in one press, or a point that fails is named. */

import { recheck } from "../../actions/gates.ts";
import { readTest } from "../../actions/tests.ts";
import { reasonOf } from "../../facts/reasons.ts";
import type { Bench } from "../../facts/work.ts";
import { howToTest, isLocked } from "../../rules/locked.ts";
import type { Step } from "../../rules/procedure.ts";
import { recheckOf } from "../../rules/recheck.ts";
import { readingOf, verdictOf } from "../../rules/tests.ts";
import { verdicts } from "../../tables/attribution.ts";
import { Button } from "../../ui/Dock.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { pointName, pointNames } from "../../words/points.ts";
import { useAnswer } from "./answer.ts";
import { PointRow } from "./PointRow.tsx";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function RecheckGate({ bench, step }: Props) {
  const { problem, run, answer } = useAnswer();
  const { asked, against, left } = recheckOf(bench.job, bench.procedure, step);
  const locked = isLocked(bench.job);
  const fails = (point: string) => recheck(bench.code, step.id, [point]);
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => answer(() => recheck(bench.code, step.id))} tone="main">
          {asked.length === 1 ? "It still works" : "All of these still work"}
        </Button>
      }
    >
      {against.length > 0 && (
        <Notice tone="stop" title="Fails after closing">
          <p>Take back to the step that closed it and look at its connector, or test the point again if you slipped.</p>
          <ul class="rows">
            {against.map((point) => (
              <PointRow
                key={point}
                point={point}
                result="fail"
                why={reasonOf(point, readingOf(bench.job, "final", point))}
                locked={locked}
                verdict={verdictWords(bench, point)}
                onSay={({ result, why }) =>
                  result === "fail" ? fails(point) : readTest(bench.code, "final", { point, result, why })
                }
              />
            ))}
          </ul>
        </Notice>
      )}
      <ul class="rows">
        {asked.map((point) => (
          <li class="bench-point" key={point}>
            <div class="row apart">
              <h3>{pointName(point)}</h3>
              <button
                type="button"
                class="button"
                aria-label={`${pointName(point)}: fails now`}
                onClick={() => run(() => fails(point))}
              >
                <Shape name="stop" />
                Fails now
              </button>
            </div>
            <p class="soft">{howToTest(point, locked)}</p>
          </li>
        ))}
      </ul>
      {left.length > 0 && (
        <p class="soft">Not asked, since the final test could not show it working: {pointNames(left)}.</p>
      )}
    </StepPage>
  );
}

function verdictWords(bench: Bench, point: string) {
  const row = verdicts[verdictOf(bench.job, point)];
  return { name: row?.name ?? point, say: row?.say ?? "", blocks: true };
}
