/** The first line of the final test: whether what the customer told us is cured, in their own words. */

import { useState } from "preact/hooks";
import { checkComplaint } from "../../actions/complaint.ts";
import type { Cured } from "../../events/kinds.gen.ts";
import { said } from "../../facts/texts.ts";
import type { Bench } from "../../facts/work.ts";
import { finalCheck } from "../../rules/complaint.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lower } from "../../words/format.ts";

const ANSWERS = [
  { cured: "yes", word: "Yes, cured", shape: "done" },
  { cured: "no", word: "No", shape: "stop" },
  { cured: "unknown", word: "Cannot be told", shape: "open" },
] as const;

const SAID: Readonly<
  Record<Cured, { readonly word: string; readonly tone: string; readonly shape: "done" | "stop" | "open" }>
> = {
  yes: { word: "Cured", tone: "good", shape: "done" },
  no: { word: "Not cured", tone: "stop", shape: "stop" },
  unknown: { word: "Cannot be told", tone: "", shape: "open" },
};

export function Complaint({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const [again, setAgain] = useState(false);
  const [answer, setAnswer] = useState<"no" | "unknown" | null>(null);
  const [note, setNote] = useState("");
  const { problem, run } = useAct();
  const check = finalCheck(bench.job);
  const enter = async (cured: Cured): Promise<void> => {
    if (!(await run(() => checkComplaint(bench.code, step.id, cured, cured === "yes" ? "" : note)))) return;
    setAgain(false);
    setAnswer(null);
    setNote("");
  };
  return (
    <section class="stack bench-complaint" aria-labelledby="final-complaint">
      <h2 id="final-complaint">Is what the customer told us cured?</h2>
      <blockquote class="big">{said(bench.job.complaint)}</blockquote>
      {check !== undefined && !again ? (
        <>
          <div class="row apart">
            <span class={`mark ${SAID[check.cured].tone}`}>
              <Shape name={SAID[check.cured].shape} />
              {SAID[check.cured].word}
            </span>
            <button
              type="button"
              class="button plain"
              aria-label="Check the complaint again"
              onClick={() => setAgain(true)}
            >
              Again
            </button>
          </div>
          {check.note !== null && <p class="soft">{said(check.note)}</p>}
        </>
      ) : (
        <fieldset class="bench-answers" aria-label="The complaint">
          {ANSWERS.map(({ cured, word, shape }) => (
            <button
              type="button"
              class="button"
              key={cured}
              aria-label={`The complaint: ${word.toLowerCase()}`}
              aria-pressed={answer === cured}
              onClick={() => (cured === "yes" ? void enter("yes") : setAnswer(cured))}
            >
              <Shape name={shape} />
              {word}
            </button>
          ))}
        </fieldset>
      )}
      {answer !== null && (check === undefined || again) && (
        <>
          <TextField
            label={answer === "no" ? "What is left, and what was agreed" : "Why it cannot be told"}
            value={note}
            onInput={setNote}
            maxLength={300}
            lines
          />
          <Button onPress={() => enter(answer)}>Enter it: {lower(SAID[answer].word)}</Button>
        </>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}
