/** The gates on the way of an unsafe battery: unplugged or left, brought to the safe place, the cell in its container. */
import { bringToSafePlace, cellCore, containCell, tagCell, unplugUnsafe } from "../../actions/gates.ts";
import type { Bench } from "../../facts/work.ts";
import type { Step } from "../../rules/procedure.ts";
import { Button } from "../../ui/Dock.tsx";
import { groupCode } from "../../words/format.ts";
import { coreLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { useAnswer } from "./answer.ts";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function UnplugGate({ bench, step }: Props) {
  const { problem, answer } = useAnswer();
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <>
          <Button onPress={() => answer(() => unplugUnsafe(bench.code, step.id, false))} tone="aside">
            Left plugged in
          </Button>
          <Button onPress={() => answer(() => unplugUnsafe(bench.code, step.id, true))} tone="main">
            Done: unplugged
          </Button>
        </>
      }
    />
  );
}

export function BringGate({ bench, step }: Props) {
  const { problem, answer } = useAnswer();
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => answer(() => bringToSafePlace(bench.code, step.id))} tone="main">
          Done: it lies in the safe place
        </Button>
      }
    />
  );
}

export function ContainGate({ bench, step }: Props) {
  const { problem, answer } = useAnswer();
  const core = cellCore(bench.job);
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        core === null ? (
          <Button onPress={() => answer(() => tagCell(bench.code, step.id))} tone="main">
            Give the cell a code
          </Button>
        ) : (
          <Button onPress={() => answer(() => containCell(bench.code, step.id))} tone="main">
            Done: lid on, in the safe place
          </Button>
        )
      }
    >
      {core !== null && (
        <>
          <p>Code of the cell</p>
          <p class="code bench-core-code">{groupCode(core)}</p>
          <PrintButton labels={[coreLabel(core)].filter((label) => label !== null)}>Print its label</PrintButton>
          <p class="soft">No printer? Write the code on the container by hand.</p>
        </>
      )}
    </StepPage>
  );
}
