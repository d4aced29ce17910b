/** A stopped job: what was found, the photos, what remains; and the lead's way to lift it. */
import { useState } from "preact/hooks";
import { liftStop } from "../../actions/stop.ts";
import type { Job } from "../../fold/state.ts";
import type { Problem } from "../../problem.ts";
import { stopsFor } from "../../rules/prefit.ts";
import { stopReasons } from "../../tables.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { dayTime } from "../../ui/format.ts";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { type Bench, listed } from "../../views/bench.ts";
import { caution } from "../../views/cautions.ts";
import { isLead, staffName } from "../../views/people.ts";
import { nextOf } from "../../views/prefit.ts";
import { PhotoStrip } from "../photos/PhotoStrip.tsx";
import { Tries } from "./Tries.tsx";

type Props = {
  readonly code: string;
  readonly job: Job;
  readonly bench: Bench | null;
  readonly onClosing: () => void;
  readonly action: string;
};

export function StopPage({ code, job, bench, onClosing, action }: Props) {
  const stop = job.stop;
  if (stop === null) return null;
  const remaining = bench?.steps.filter((s) => job.steps[s.id] === undefined) ?? [];
  const reason = stopReasons[stop.reason];
  return (
    <>
      <Page
        title={`Stopped: ${reason?.name ?? stop.reason}`}
        above={`${job.model ?? "Device"} · ${dayTime(stop.at_ms)}, ${staffName(stop.staff)}`}
      >
        <p class="big">This ends the repair. Only closing up and handing back remain.</p>
        {stop.reason === "battery" && (
          <Notice tone="stop" title={caution("battery_emergency").name}>
            <p>{caution("battery_emergency").text}</p>
            <p>Close up only if the shop's emergency card allows it.</p>
          </Notice>
        )}
        <Found job={job} reason={stop.reason} />
        {bench !== null && (stop.reason === "board" || stop.reason === "parts") && <WhyTries bench={bench} />}
        {bench !== null && (
          <section class="stack" aria-labelledby="bench-remains">
            <h2 id="bench-remains">What remains</h2>
            <ol class="bench-steps">
              {remaining.map((step) => (
                <li key={step.id}>
                  <Shape name="open" size={22} />
                  <span>{step.title}</span>
                </li>
              ))}
              <li>
                <Shape name="open" size={22} />
                <span>Hand the device back at the counter</span>
              </li>
            </ol>
          </section>
        )}
        {bench !== null && isLead() && <Lift code={code} />}
        <a class="button plain" href={`#/job/${code}`}>
          Record of the job
        </a>
      </Page>
      {bench !== null && (
        <Dock>
          <Button onPress={onClosing} tone="main">
            {action}
          </Button>
        </Dock>
      )}
    </>
  );
}

/** A stop by hand has no tries that say so. */
function WhyTries({ bench }: { readonly bench: Bench }) {
  const next = nextOf(bench.job);
  return (
    <>
      {stopsFor(next) === bench.job.stop?.reason && <p class="big">{next.say}</p>}
      <Tries bench={bench} />
    </>
  );
}

const INDICATOR: Readonly<Record<string, string>> = {
  untouched: "untouched",
  tinged: "tinged, slightly pink: tripped",
  red: "red: tripped",
  not_visible: "not visible",
};

function Found({ job, reason }: { readonly job: Job; readonly reason: string }) {
  const liquid = job.liquid.at(-1);
  const power = job.power.at(-1);
  if (reason === "liquid" && liquid !== undefined) {
    return (
      <section class="stack" aria-labelledby="bench-found">
        <h2 id="bench-found">What was found</h2>
        <dl class="facts">
          <dt>Indicator</dt>
          <dd>{INDICATOR[liquid.indicator]}</dd>
          <dt>Signs</dt>
          <dd>{liquid.signs.length === 0 ? "none" : listed(liquid.signs)}</dd>
          {liquid.note !== null && (
            <>
              <dt>Note</dt>
              <dd>{liquid.note}</dd>
            </>
          )}
        </dl>
        <PhotoStrip photos={liquid.photos} what="Sign of liquid" />
      </section>
    );
  }
  if (reason === "battery" && power !== undefined) {
    return (
      <section class="stack" aria-labelledby="bench-found">
        <h2 id="bench-found">What was found</h2>
        <p class="big">The battery is {power.battery}.</p>
        <PhotoStrip photos={power.photos} what="Battery" />
      </section>
    );
  }
  return null;
}

function Lift({ code }: { readonly code: string }) {
  const [why, setWhy] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const lift = async (): Promise<void> => {
    const lifted = await liftStop(code, why);
    setProblem(lifted.ok ? null : lifted.problem);
  };
  return (
    <section class="card" aria-labelledby="bench-lift">
      <h2 id="bench-lift">Lift the stop, as lead</h2>
      <p>The record says so for good, with your name and reason. What was closed meanwhile is opened again.</p>
      <TextField label="Reason" value={why} onInput={setWhy} maxLength={300} lines />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={() => void lift()} tone="danger">
        Lift the stop
      </Button>
    </section>
  );
}
