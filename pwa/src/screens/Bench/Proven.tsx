/** The new part works: does it cure the complaint? A no is no way on by itself: a reason to fit it, or the end of the job. */

import { acceptPart, stopUncured } from "../../actions/complaint.ts";
import type { Cured } from "../../events/kinds.gen.ts";
import { nextOf } from "../../facts/prefit.ts";
import { said } from "../../facts/texts.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";
import { Tries } from "./Tries.tsx";

const CURED = [
  { value: "yes", name: "Yes" },
  { value: "no", name: "No" },
  { value: "unknown", name: "Cannot tell yet" },
] as const;

type Answers = { readonly cured: Cured | null; readonly note: string };

export function Proven({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}:proven`, { cured: null, note: "" });
  const { problem, run } = useAct();
  const { cured, note } = answers.value;
  const done = (): void => {
    answers.drop();
    scrollTo(0, 0);
  };
  const goOn = () =>
    run(() => {
      if (cured === null) return refuse("answer-missing", "Does it cure the complaint?");
      return acceptPart(bench.code, step.id, cured, note);
    }, done);
  const stop = () => run(() => stopUncured(bench.code, step.id, note), done);
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={goOn} tone="main">
          {cured === "no" ? "Fit it all the same" : "Part proven: go on"}
        </Button>
      }
    >
      <Tries bench={bench} />
      <p>{nextOf(bench.job).say}</p>
      <blockquote class="big">{said(bench.job.complaint)}</blockquote>
      <Choice
        label="Does the new part cure this complaint?"
        options={CURED}
        value={cured}
        onChoose={(value) => answers.change({ cured: value })}
        across
      />
      {cured === "no" && (
        <Notice tone="warn" title="The fault lies elsewhere">
          <p>
            Speak with the counter before you fit it. Fit it only for a reason, such as that the customer wants it all
            the same, and write that down. Else the job ends here.
          </p>
        </Notice>
      )}
      <TextField
        label={cured === "no" ? "Why it is fitted all the same, or what was found" : "Note, if it helps"}
        value={note}
        onInput={(value) => answers.change({ note: value })}
        maxLength={300}
        lines={cured === "no"}
      />
      {cured === "no" && (
        <Button onPress={stop} tone="danger">
          Stop this job: the fault lies elsewhere
        </Button>
      )}
    </StepPage>
  );
}
