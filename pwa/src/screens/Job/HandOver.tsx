/** Handing over: first that it is this device, then what was done, then the one press. */
import { useState } from "preact/hooks";
import { type Checked, COMPARED, checkEnd, checkScan, comparedNumber, handOver } from "../../actions/handOver.ts";
import { nowMs } from "../../device/clock.ts";
import { isLead } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import type { Result } from "../../problem.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { handOverBy } from "../../rules/handOver.ts";
import type { Slug } from "../../tables.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { customerSheet, outcomeFacts } from "../../views/record.ts";
import { groupCode } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";
import { Outcome } from "./Outcome.tsx";

type Props = { readonly code: string; readonly job: Job };

export function HandOver({ code, job }: Props) {
  const [checked, setChecked] = useState<Checked | null>(null);
  const [ownerTold, setOwnerTold] = useState("");
  const { problem, run } = useAct();
  useHeadingFocus(`hand-over ${checked}`);
  const above = `${job.model}, job ${groupCode(code)}`;
  const back = () => go(`job/${code}`, "replace");
  const by = handOverBy(job);
  if (by === "nobody" || (by === "lead" && !isLead())) {
    return (
      <>
        <Page title="Hand over" above={above}>
          <Refusal problem={{ slug: refusedAs(job) }} />
        </Page>
        <Dock>
          <Button onPress={back} tone="main">
            Back to the job
          </Button>
        </Dock>
      </>
    );
  }
  const take = (seen: Result<null>, how: Checked) =>
    run(
      () => seen,
      () => setChecked(how),
    );
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
  const write = () => run(() => handOver(code, checked, ownerTold), back);
  return (
    <>
      <Page title="Hand the device over" above={above}>
        <Notice
          tone={checked === "none" ? "warn" : "good"}
          title={checked === "none" ? "The device was not compared" : "It is this device"}
        />
        {by === "lead" && <TellOwner told={ownerTold} onTold={setOwnerTold} />}
        <Outcome {...customerSheet(code, job)} facts={outcomeFacts(code, job, job.handed_over ?? nowMs())} />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={back} tone="aside">
          Not yet
        </Button>
        {by === "lead" ? (
          <Button onPress={write} tone="danger main" disabled={ownerTold.trim() === ""}>
            {ownerTold.trim() === "" ? "Write what the owner was told" : "Hand out with the unsafe battery"}
          </Button>
        ) : (
          <Button onPress={write} tone="main">
            Hand over
          </Button>
        )}
      </Dock>
    </>
  );
}

/** Why it cannot be handed over here and now. */
function refusedAs(job: Job): Slug {
  if (job.stage === "handed_over") return "job-closed";
  return isCellUnsafe(job) ? "unsafe-handed-over" : "not-ready";
}

/** A swollen cell goes out only with an owner who knows what it can do. */
function TellOwner({ told, onTold }: { readonly told: string; readonly onTold: (told: string) => void }) {
  return (
    <>
      <UnsafeNotice paths={["battery"]} />
      <TextField
        label="What the owner was told of the danger"
        value={told}
        onInput={onTold}
        hint="Not to use, charge, press or warm it, where it may be taken, and that local rules decide. In the words that were said."
        lines
        maxLength={300}
      />
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
