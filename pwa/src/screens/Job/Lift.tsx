/** A lead lifts a stop, with a reason that stays. */
import { useState } from "preact/hooks";
import { liftStop } from "../../actions/stop.ts";
import type { LiftPlan } from "../../events/kinds.gen.ts";
import { isLead } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { mayBeLifted } from "../../rules/handOver.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField, TwoLines } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { caution } from "../../views/cautions.ts";
import { groupCode, upper } from "../../words/format.ts";
import { stopName } from "../../words/told.ts";
import { detailOf, valueWord } from "../../words/values.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { go } from "../route.ts";

const PLANS = (["cell_out", "cell_safe"] as const).map((value) => ({
  value,
  name: <TwoLines name={upper(valueWord("lift_plan", value))} detail={detailOf("lift_plan", value)} />,
}));

export function Lift({ code, job }: { readonly code: string; readonly job: Job }) {
  const [why, setWhy] = useState("");
  const [plan, setPlan] = useState<LiftPlan | null>(isCellUnsafe(job) ? null : "go_on");
  const { problem, run } = useAct();
  useHeadingFocus("lift");
  const back = () => go(`job/${code}`, "replace");
  const write = () => plan !== null && run(() => liftStop(code, why, plan), back);
  const may = isLead() && mayBeLifted(job);
  const emergency = caution("battery_emergency");
  return (
    <>
      <Page title="Lift the stop" above={`${job.model}, job ${groupCode(code)}`}>
        {!isLead() && <Refusal problem={{ slug: "lead-only" }} />}
        {isLead() && !mayBeLifted(job) && <Refusal problem={{ slug: "not-stopped" }} />}
        {may && (
          <>
            <p class="big">Stopped: {stopName(job.stop?.reason ?? "other")}.</p>
            {job.stop?.reason === "battery" && (
              <Notice tone="stop" title={emergency.name}>
                <p>{emergency.text}</p>
              </Notice>
            )}
            <Notice tone="warn" title="This stays on the record for good">
              <p>Who lifted it, when and why: everybody who opens this job sees it.</p>
            </Notice>
            {isCellUnsafe(job) && (
              <Choice label="What happens with the battery?" options={PLANS} value={plan} onChoose={setPlan} />
            )}
            <TextField label="Why work may go on" value={why} onInput={setWhy} lines maxLength={300} />
          </>
        )}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={back} tone={may ? "aside" : "main"}>
          Back
        </Button>
        {may && (
          <Button onPress={write} tone="danger main" disabled={plan === null || why.trim() === ""}>
            {plan === null ? "Choose what happens" : why.trim() === "" ? "Write why" : "Lift the stop"}
          </Button>
        )}
      </Dock>
    </>
  );
}
