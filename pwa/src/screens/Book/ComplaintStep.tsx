/** The complaint, as the customer says it. */
import { jobsOf } from "../../facts/booking.ts";
import { heldText } from "../../facts/texts.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

export function ComplaintStep({ booking, change }: StepProps) {
  const earlier = heldText(jobsOf(booking)[0]?.[1].complaint ?? null);
  return (
    <>
      <TextField
        label="Complaint"
        value={booking.complaint}
        onInput={(complaint) => change({ complaint })}
        hint="In the customer's words: what happens, since when, what came before. Never an unlock code."
        lines
        maxLength={600}
      />
      {earlier !== null && booking.complaint === "" && (
        <div class="stack">
          <p>Last time it was: “{earlier}”</p>
          <Button onPress={() => change({ complaint: earlier })}>The same again</Button>
        </div>
      )}
    </>
  );
}
