/** A step that is no gate: do it, say it is done. */
import { useState } from "preact/hooks";
import { finishStep } from "../../actions/bench.ts";
import { dropTimer } from "../../actions/timer.ts";
import type { Bench } from "../../facts/work.ts";
import type { Problem } from "../../problem.ts";
import { groupsOf } from "../../rules/ledger.ts";
import type { Step } from "../../rules/procedure.ts";
import { Button } from "../../ui/Dock.tsx";
import { doneText } from "../../views/bench.ts";
import { deviceLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { Count } from "./LedgerPanel.tsx";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function WorkStep({ bench, step }: Props) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [counted, setCounted] = useState<Readonly<Record<string, number>>>({});
  const done = async (): Promise<void> => {
    const fewer = Object.entries(counted).filter(
      ([id, n]) => n !== bench.procedure.fasteners.find((f) => f.id === id)?.count,
    );
    const written = await finishStep(bench.code, step.id, Object.fromEntries(fewer));
    if (!written.ok) return setProblem(written.problem);
    setProblem(null);
    void dropTimer(bench.code, step.id);
    scrollTo(0, 0);
  };
  const taken = !bench.stopped ? groupsOf(step, bench.procedure, "remove") : [];
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      onMain={done}
      action={
        <Button onPress={() => void done()} tone="main">
          {doneText(step, bench.procedure)}
        </Button>
      }
    >
      {step.id === "unsafe-label" && (
        <PrintButton labels={[deviceLabel(bench.code)].filter((label) => label !== null)}>Print its label</PrintButton>
      )}
      {taken.length > 0 && (
        <details class="bench-more">
          <summary>Fewer came out</summary>
          <div class="stack">
            {taken.map((f) => (
              <Count
                key={f.id}
                label={f.name}
                value={counted[f.id] ?? f.count}
                least={0}
                most={f.count}
                onChange={(value) => setCounted({ ...counted, [f.id]: value })}
              />
            ))}
          </div>
        </details>
      )}
    </StepPage>
  );
}
