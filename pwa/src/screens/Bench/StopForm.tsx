/** Stopping a job by hand at the bench. */
import { useState } from "preact/hooks";
import { stopJob } from "../../actions/stop.ts";
import type { Battery, StopReason } from "../../events/kinds.gen.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import { stopReasons } from "../../tables.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { UNSAFE_BATTERY } from "../../words/battery.ts";
import { useAnswer } from "./answer.ts";

/** Liquid has its gate; these are the other ends. An unsafe battery can show at any step. */
const REASONS: readonly StopReason[] = ["battery", "paired", "parts", "customer", "board", "other"];

type Props = { readonly bench: Bench; readonly reason?: StopReason; readonly onClose: () => void };

export function StopForm({ bench, reason: given, onClose }: Props) {
  const [reason, setReason] = useState<StopReason | null>(given ?? null);
  const [battery, setBattery] = useState<Battery | null>(null);
  const [note, setNote] = useState("");
  const { problem, answer } = useAnswer();
  const stop = () =>
    answer(() => {
      if (reason === null) return refuse("answer-missing", "Why the job stops.");
      return stopJob(bench.code, reason, note, battery ?? undefined);
    });
  return (
    <section class="card" aria-labelledby="bench-stop-name">
      <h2 id="bench-stop-name">Stop this job</h2>
      <p>
        {reason === "battery"
          ? "Nothing is pressed, seated or screwed after this. The device goes to the safe place. A lead can lift it."
          : "Only closing up and handing back remain after this. A lead can lift it."}
      </p>
      <Choice
        label="Reason"
        options={REASONS.map((r) => ({ value: r, name: stopReasons[r]?.name ?? r }))}
        value={reason}
        onChoose={setReason}
      />
      {reason === "battery" && (
        <Choice label="The battery is" options={UNSAFE_BATTERY} value={battery} onChoose={setBattery} />
      )}
      <TextField label="What was found" value={note} onInput={setNote} maxLength={300} lines />
      {problem !== null && <Refusal problem={problem} />}
      <div class="row">
        <Button onPress={stop} tone="danger main">
          Stop the job
        </Button>
        <Button onPress={onClose} tone="plain">
          Go on working
        </Button>
      </div>
    </section>
  );
}
