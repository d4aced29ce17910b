/** Handing over: first that it is this device, then what was done, then the one press. */
import { useState } from "preact/hooks";
import { type Checked, COMPARED, checkEnd, checkScan, comparedNumber, handOver } from "../../actions/handOver.ts";
import type { Job } from "../../fold/state.ts";
import type { Problem, Result } from "../../problem.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { groupCode } from "../../ui/format.ts";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { caution } from "../../views/cautions.ts";
import { mayHandOver } from "../../views/status.ts";
import { useHeadingFocus } from "../Book/headingFocus.ts";
import { go } from "../route.ts";
import { Outcome } from "./Outcome.tsx";

type Props = { readonly code: string; readonly job: Job };

export function HandOver({ code, job }: Props) {
  const [checked, setChecked] = useState<Checked | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  useHeadingFocus(`hand-over ${checked}`);
  const above = `${job.model}, job ${groupCode(code)}`;
  const back = () => go(`job/${code}`, "replace");
  if (!mayHandOver(job)) {
    return (
      <>
        <Page title="Hand over" above={above}>
          <Refusal problem={{ slug: job.stage === "handed_over" ? "job-closed" : "not-ready" }} />
        </Page>
        <Dock>
          <Button onPress={back} tone="main">
            Back to the job
          </Button>
        </Dock>
      </>
    );
  }
  const take = (seen: Result<null>, how: Checked): void => {
    setProblem(seen.ok ? null : seen.problem);
    if (seen.ok) setChecked(how);
  };
  if (checked === null) {
    return (
      <>
        <Page title="Is it this device?" above={above}>
          <Scanner
            onFound={(text) => take(checkScan(code, text), "scanned")}
            say="The label on the device"
            enterWord="Compare"
            atOnce={false}
          />
          {problem !== null && <Refusal problem={problem} />}
          <ByEye code={code} onEnd={(end) => take(checkEnd(code, end), "compared")} onNone={() => setChecked("none")} />
        </Page>
        <Dock>
          <Button onPress={back}>Back to the job</Button>
        </Dock>
      </>
    );
  }
  const write = async (): Promise<void> => {
    const done = await handOver(code, checked);
    if (!done.ok) return setProblem(done.problem);
    back();
  };
  const emergency = caution("battery_emergency");
  return (
    <>
      <Page title="Hand the device over" above={above}>
        <Notice
          tone={checked === "none" ? "warn" : "good"}
          title={checked === "none" ? "The device was not compared" : "It is this device"}
        />
        {job.stop?.reason === "battery" && (
          <Notice tone="stop" title={emergency.name}>
            <p>{emergency.text}</p>
          </Notice>
        )}
        <Outcome code={code} job={job} />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={back} tone="aside">
          Not yet
        </Button>
        <Button onPress={() => void write()} tone="main">
          Hand over
        </Button>
      </Dock>
    </>
  );
}

type ByEyeProps = { readonly code: string; readonly onEnd: (end: string) => void; readonly onNone: () => void };

/** Without a readable label: the end of the device's own number, typed from the device; the screen does not show it. */
function ByEye({ code, onEnd, onNone }: ByEyeProps) {
  const [end, setEnd] = useState("");
  if (comparedNumber(code) === null) {
    return (
      <div class="stack">
        <p>
          The card of this device holds no number to compare. If the label is lost, ask the customer to start the device
          and know it again.
        </p>
        <Button onPress={onNone} tone="danger">
          No label, no number: the customer knew it
        </Button>
      </div>
    );
  }
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        onEnd(end);
      }}
    >
      <TextField
        label={`Or the last ${COMPARED} of its IMEI or serial number`}
        value={end}
        onInput={setEnd}
        hint="Read them from the device: dial *#06#, or look on its SIM tray."
        maxLength={COMPARED}
      />
      <button type="submit" class="button">
        Compare the number
      </button>
    </form>
  );
}
