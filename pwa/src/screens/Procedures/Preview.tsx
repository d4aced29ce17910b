/** The walk as the technician will see it, the way out with it. */
import { useEffect, useState } from "preact/hooks";
import { benchAt, type Place } from "../../facts/procedureDraft.ts";
import { derive, type Procedure } from "../../rules/procedure.ts";
import { Button } from "../../ui/Dock.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { doneText, progressText } from "../../views/bench.ts";
import { pockets, trayText } from "../../views/ledger.ts";
import { TrayDrawing } from "../parts/Drawings.tsx";
import { StepFace } from "../parts/StepFace.tsx";

const GATES: Readonly<Record<string, string>> = {
  liquid: "Gate: liquid. Any sign stops the job.",
  power: "Gate: is the battery safe, and is power isolated?",
  prefit: "Gate: is the new part proven?",
  pair: "Gate: has the paired part moved over?",
  safety: "Gate: is it wet, does it bulge, is it hot?",
  final: "Gate: every test point, or why not.",
  core: "Gate: the old part gets its code.",
  leftover: "Gate: nothing is left over.",
};

export function Preview({ procedure, place }: { readonly procedure: Procedure; readonly place: Place }) {
  const steps = derive(procedure);
  const chosen = place.part === "step" ? steps.findIndex((s) => s.id === place.id || s.source === place.id) : -1;
  const [at, setAt] = useState(Math.max(0, chosen));
  useEffect(() => {
    if (chosen >= 0) setAt(chosen);
  }, [chosen]);
  const shown = benchAt(procedure, Math.min(at, steps.length - 1));
  if (shown === null) return null;
  const { bench, step } = shown;
  return (
    <div class="stack">
      <section class="proc-phone" aria-label="As the technician sees it">
        <p class="eyebrow">{progressText(bench, step)}</p>
        <h2>{step.title}</h2>
        <StepFace bench={bench} step={step} />
        {step.gate !== null && (
          <p class="mark now">
            <Shape name="now" />
            {GATES[step.gate]}
          </p>
        )}
        {step.wait_s !== null && <p class="soft">A timer is offered: {step.wait_s} s.</p>}
        {step.phase !== "end" && (
          <figure class="step-tray">
            <TrayDrawing pockets={pockets(bench.job, procedure, step)} />
          </figure>
        )}
        <p class="soft small">{trayText(bench.job, procedure)}</p>
        {step.gate === null && <p class="proc-done">{doneText(step, procedure)}</p>}
      </section>
      <div class="row apart">
        <Button onPress={() => setAt(Math.max(0, at - 1))} disabled={at === 0}>
          Step before
        </Button>
        <Button onPress={() => setAt(Math.min(steps.length - 1, at + 1))} disabled={at >= steps.length - 1}>
          Next step
        </Button>
      </div>
    </div>
  );
}
