/** The model: one of the shop's list, found by a few letters, or typed. */

import { catalogue } from "../../facts/catalogue.ts";
import { Choice, TextField } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

const MOST_SHOWN = 8;

export function ModelStep({ booking, change }: StepProps) {
  const all = catalogue().models ?? [];
  const typed = booking.model.trim().toLowerCase();
  const exact = all.find((m) => m.toLowerCase() === typed);
  const shown = (exact === undefined && typed !== "" ? all.filter((m) => m.toLowerCase().includes(typed)) : all).slice(
    0,
    MOST_SHOWN,
  );
  return (
    <>
      <TextField
        label="Model"
        value={booking.model}
        onInput={(model) => change({ model, procedure: null })}
        hint={
          all.length > MOST_SHOWN
            ? "A few letters find it; a model that is not in the list is taken as typed."
            : "A model that is not in the list is taken as typed."
        }
        maxLength={80}
      />
      {shown.length > 0 && (
        <Choice
          label="From the shop's list"
          options={shown.map((m) => ({ value: m, name: m }))}
          value={exact ?? null}
          onChoose={(model) => change({ model, procedure: null })}
        />
      )}
    </>
  );
}
