/** Three questions before any test, charge, heat, cup or pick (shared/safety.json). */
import safety from "@shared/safety.json";
import { Choice } from "../../ui/fields.tsx";

export type SafetyId = "wet" | "bulging" | "hot";
type YesNo = "yes" | "no";

const IDS: readonly SafetyId[] = ["wet", "bulging", "hot"];

export function SafetyQuestions(props: {
  readonly answers: Partial<Readonly<Record<SafetyId, YesNo>>>;
  readonly onAnswer: (id: SafetyId, answer: YesNo) => void;
}) {
  return (
    <div class="stack">
      {IDS.map((id) => (
        <div key={id}>
          <Choice
            label={safety.questions[id].ask}
            options={[
              { value: "no" as const, name: "No" },
              { value: "yes" as const, name: "Yes" },
            ]}
            value={props.answers[id] ?? null}
            onChoose={(answer) => props.onAnswer(id, answer)}
            across
          />
          <p class="soft">{safety.questions[id].look}</p>
        </div>
      ))}
    </div>
  );
}
