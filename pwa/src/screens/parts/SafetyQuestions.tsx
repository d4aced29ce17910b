/** Wet, bulging, hot or smelling: three large questions, each with what to look at, before anybody tests, charges, warms or opens. */
import { useId } from "preact/hooks";
import type { YesNo } from "../../events/kinds.gen.ts";
import "../../style/safety.css";
import { QUESTIONS, type Question, type SafetyAnswers } from "../../rules/safety.ts";

type Props = {
  readonly answers: SafetyAnswers;
  readonly onAnswer: (question: Question, answer: YesNo) => void;
};

const ANSWERS = [
  ["no", "No"],
  ["yes", "Yes"],
] as const;

export function SafetyQuestions({ answers, onAnswer }: Props) {
  const name = useId();
  return (
    <>
      {QUESTIONS.map(({ id, ask, look }) => (
        <fieldset class="field safety-question" key={id}>
          <legend>{ask}</legend>
          <span class="hint" id={`${name}-${id}`}>
            {look}
          </span>
          <div class="choices across">
            {ANSWERS.map(([value, word]) => (
              <label class={value === "yes" ? "choice safety-yes" : "choice"} key={value}>
                <input
                  type="radio"
                  name={`${name}-${id}-answer`}
                  checked={answers[id] === value}
                  onChange={() => onAnswer(id, value)}
                  aria-describedby={`${name}-${id}`}
                />
                <span>{word}</span>
              </label>
            ))}
          </div>
        </fieldset>
      ))}
    </>
  );
}
