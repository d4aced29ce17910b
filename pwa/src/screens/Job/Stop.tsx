/** Stopping a job from the counter. What the bench finds stops it there; here it is mostly the customer's wish or a missing part. */
import { useState } from "preact/hooks";
import { stopJob } from "../../actions/stop.ts";
import type { Battery, StopReason } from "../../events/kinds.gen.ts";
import type { Job } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { UNSAFE_BATTERY } from "../../words/battery.ts";
import { groupCode } from "../../words/format.ts";
import { stopName } from "../../words/told.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";

const REASONS: readonly StopReason[] = ["customer", "parts", "other", "liquid", "battery", "board", "paired"];

export function Stop({ code, job }: { readonly code: string; readonly job: Job }) {
  const [reason, setReason] = useState<StopReason | null>(null);
  const [battery, setBattery] = useState<Battery | null>(null);
  const [note, setNote] = useState("");
  const { problem, run } = useAct();
  useHeadingFocus("stop");
  const write = async (): Promise<void> => {
    if (reason === null) return;
    const state = reason === "battery" && battery !== null ? battery : undefined;
    if (await run(() => stopJob(code, reason, note, state))) go(`job/${code}`, "replace");
  };
  const isWhole = reason !== null && (reason !== "battery" || battery !== null);
  return (
    <>
      <Page title="Stop the job" above={`${job.model}, job ${groupCode(code)}`}>
        <p>A stop ends the repair. A lead can lift it with a reason.</p>
        <Choice
          label="Why?"
          options={REASONS.map((r) => ({ value: r, name: stopName(r) }))}
          value={reason}
          onChoose={setReason}
        />
        {reason === "battery" && (
          <>
            <UnsafeNotice paths={["battery"]} />
            <Choice label="The battery is" options={UNSAFE_BATTERY} value={battery} onChoose={setBattery} />
          </>
        )}
        {reason === "liquid" && <UnsafeNotice paths={["liquid"]} />}
        <TextField label="Note for the record" value={note} onInput={setNote} lines maxLength={300} />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Back
        </Button>
        <Button onPress={write} tone="danger main" disabled={!isWhole}>
          {reason === null ? "Choose why" : isWhole ? "Stop the job" : "Say how the battery is"}
        </Button>
      </Dock>
    </>
  );
}
