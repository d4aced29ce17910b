/** A part that belongs to this one device moves over; damage cannot be undone. */
import { useState } from "preact/hooks";
import { movePair } from "../../actions/gates.ts";
import type { Bench } from "../../facts/work.ts";
import type { Step } from "../../rules/procedure.ts";
import { Button } from "../../ui/Dock.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { pointName } from "../../words/points.ts";
import { useAnswer } from "./answer.ts";
import { StepPage } from "./StepPage.tsx";
import { StopForm } from "./StopForm.tsx";

export function PairGate({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const { problem, answer } = useAnswer();
  const [broke, setBroke] = useState(false);
  const pair = bench.procedure.pairs.find((p) => p.id === step.pair);
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => answer(() => movePair(bench.code, step.id))} tone="main">
          Done: {pair?.name ?? "paired part"} moved over, undamaged
        </Button>
      }
    >
      <Notice tone="warn" title={`${pair?.name ?? "This part"}: damage is permanent`}>
        <p>
          It works in this device only. The final test must show{" "}
          {pair === undefined ? "it" : pointName(pair.test).toLowerCase()} working, unless it did not work at intake.
        </p>
      </Notice>
      {broke ? (
        <StopForm bench={bench} reason="paired" onClose={() => setBroke(false)} />
      ) : (
        <Button onPress={() => setBroke(true)} tone="danger">
          It is damaged, or does not come off whole
        </Button>
      )}
    </StepPage>
  );
}
