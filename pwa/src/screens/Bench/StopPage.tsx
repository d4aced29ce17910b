/** A stopped job: what was found, the photos, what remains; and the lead's way to lift it. */

import safety from "@shared/safety.json";
import { isLead, staffName } from "../../facts/people.ts";
import { nextOf } from "../../facts/prefit.ts";
import { said } from "../../facts/texts.ts";
import type { Bench } from "../../facts/work.ts";
import type { Job } from "../../fold/state.ts";
import type { Result } from "../../problem.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { stopsFor } from "../../rules/prefit.ts";
import { isTripped } from "../../rules/wet.ts";
import { stopReasons } from "../../tables.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { dayTime, listed } from "../../words/format.ts";
import { valueWord } from "../../words/values.ts";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { Tries } from "./Tries.tsx";

type Props = {
  readonly code: string;
  readonly job: Job;
  readonly bench: Bench | null;
  readonly onClosing: () => Promise<Result<unknown>>;
  readonly action: string;
};

export function StopPage({ code, job, bench, onClosing, action }: Props) {
  const { problem, run } = useAct();
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
        <p class="big">{lead(job)}</p>
        {isCellUnsafe(job) && (
          <Notice tone="stop" title={safety.paths.battery.title}>
            {safety.paths.battery.do.map((line) => (
              <p key={line}>{line}</p>
            ))}
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
                <span>{isCellUnsafe(job) ? "A lead decides what follows" : "Hand the device back at the counter"}</span>
              </li>
            </ol>
          </section>
        )}
        {bench !== null && isLead() && (
          <a class="button danger" href={`#/job/${code}/lift`}>
            Lift the stop, as lead
          </a>
        )}
        <a class="button plain" href={`#/job/${code}`}>
          Record of the job
        </a>
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      {bench !== null && (
        <Dock>
          <Button onPress={() => run(onClosing)} tone="main">
            {action}
          </Button>
        </Dock>
      )}
    </>
  );
}

/** What the stop means, in one or two sentences. */
function lead(job: Job): string {
  if (isCellUnsafe(job)) return "This ends the work. Nothing is pressed, seated or screwed any more.";
  if (job.cell === "out") return "The unsafe battery is out. The device is closed without one and goes back.";
  if (job.stop?.reason === "liquid")
    return "This ends the repair. The battery is unplugged if it is sound, then the device is closed and goes back.";
  return "This ends the repair. Only closing up and handing back remain.";
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

function Found({ job, reason }: { readonly job: Job; readonly reason: string }) {
  const liquid = job.liquid.at(-1);
  const power = job.power.at(-1);
  if (reason === "liquid" && liquid !== undefined) {
    return (
      <section class="stack" aria-labelledby="bench-found">
        <h2 id="bench-found">What was found</h2>
        <dl class="facts">
          <dt>Indicator</dt>
          <dd>
            {valueWord("indicator", liquid.indicator)}
            {isTripped(liquid.indicator) ? ": tripped" : ""}
          </dd>
          <dt>Signs</dt>
          <dd>{liquid.signs.length === 0 ? "none" : listed(liquid.signs)}</dd>
          {liquid.note !== null && (
            <>
              <dt>Note</dt>
              <dd>{said(liquid.note)}</dd>
            </>
          )}
        </dl>
        <PhotoStrip photos={liquid.photos} what="Sign of liquid" />
      </section>
    );
  }
  if (reason === "battery" && job.cell !== null && job.cell !== "out") {
    return (
      <section class="stack" aria-labelledby="bench-found">
        <h2 id="bench-found">What was found</h2>
        <p class="big">The battery is {valueWord("battery", job.cell)}.</p>
        {power !== undefined && power.battery === job.cell && <PhotoStrip photos={power.photos} what="Battery" />}
      </section>
    );
  }
  return null;
}
