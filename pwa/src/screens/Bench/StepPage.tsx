/** The frame of every step: place in the job, the step itself, the tray beside or below it, and the dock. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { takeBack } from "../../actions/bench.ts";
import type { Bench } from "../../facts/work.ts";
import type { Problem } from "../../problem.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import type { Step } from "../../rules/procedure.ts";
import { stopReasons } from "../../tables.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { useWide } from "../../ui/wide.ts";
import { progressText } from "../../views/bench.ts";
import { pockets } from "../../views/ledger.ts";
import { groupCode } from "../../words/format.ts";
import { TrayDrawing } from "../parts/Drawings.tsx";
import { IncidentForm } from "../parts/IncidentForm.tsx";
import { StepFace } from "../parts/StepFace.tsx";
import { useAnswer } from "./answer.ts";
import { HandsMore } from "./HandsMore.tsx";
import { lookedBack } from "./handsFree.ts";
import { LEDGER_ID, LedgerLine, LedgerPanel } from "./LedgerPanel.tsx";
import { Measure } from "./Measure.tsx";
import { StaticChecks } from "./StaticChecks.tsx";
import { StepKeys } from "./StepKeys.tsx";
import { StepList } from "./StepList.tsx";
import { StopForm } from "./StopForm.tsx";
import { WhatYouNeed } from "./WhatYouNeed.tsx";

type Props = {
  readonly bench: Bench;
  readonly step: Step;
  readonly problem: Problem | null;
  readonly children?: ComponentChildren;
  /** The main action, in the dock. */
  readonly action: ComponentChildren;
  /** The main action of a step that is no gate, for pedals and scans. */
  readonly onMain?: () => Promise<boolean>;
};

export function StepPage({ bench, step, problem, children, action, onMain }: Props) {
  const [ledgerOpen, setLedgerOpen] = useState(false);
  const wide = useWide();
  const showLedger = (): void => {
    setLedgerOpen(true);
    requestAnimationFrame(() => {
      const panel = document.getElementById(LEDGER_ID);
      panel?.scrollIntoView({ block: "start" });
      panel?.focus({ preventScroll: true });
    });
  };
  const isWork = step.phase !== "end";
  return (
    <>
      <Page title={step.title} above={placeText(bench)} wide>
        <div class="two">
          <div class="stack bench-step">
            <Progress bench={bench} step={step} />
            {!isCellUnsafe(bench.job) && <StaticChecks />}
            {bench.stopped && <StoppedMark bench={bench} />}
            {bench.tray === null && isWork && (
              <Notice tone="warn" title="No tray is bound to this job">
                <p>Scan an empty tray, then the device, so that its screws have their pockets.</p>
                <a class="button" href="#/scan">
                  Scan a tray
                </a>
              </Notice>
            )}
            <StepKeys bench={bench} step={step} {...(onMain === undefined ? {} : { onMain })} />
            {lookedBack.value === 0 && <StepFace bench={bench} step={step} />}
            {children}
            {bench.last === null && !bench.stopped && <WhatYouNeed procedure={bench.procedure} />}
            {problem !== null && <Refusal problem={problem} />}
          </div>
          <div class="stack">
            {isWork && (
              <figure class="step-tray">
                <TrayDrawing pockets={pockets(bench.job, bench.procedure, step)} />
                <figcaption class="soft small">
                  {bench.tray === null ? "No tray is bound to this job" : `Tray ${groupCode(bench.tray)}`}
                </figcaption>
              </figure>
            )}
            {(ledgerOpen || wide) && <LedgerPanel bench={bench} />}
            <details class="bench-more" open={wide}>
              <summary>
                <Shape name="list" size={24} />
                All steps
              </summary>
              <StepList bench={bench} />
            </details>
            <Measure bench={bench} />
            <HandsMore bench={bench} />
            <Aside bench={bench} />
          </div>
        </div>
      </Page>
      <Dock>
        <div class="bench-dock">
          <LedgerLine bench={bench} onOpen={showLedger} />
          {action}
        </div>
      </Dock>
    </>
  );
}

const placeText = (bench: Bench): string => `${bench.job.model ?? "Device"} · job ${groupCode(bench.code)}`;

function Progress({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const done = bench.steps.filter((s) => bench.job.steps[s.id] !== undefined).length;
  return (
    <p class="bench-progress">
      <svg viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect width={100} height={6} rx={2} fill="var(--line)" />
        <rect width={(100 * done) / bench.steps.length} height={6} rx={2} fill="var(--deep)" />
      </svg>
      <span>{progressText(bench, step)}</span>
    </p>
  );
}

function StoppedMark({ bench }: { readonly bench: Bench }) {
  return (
    <p class="mark stop">
      <Shape name="stop" />
      Stopped: {stopReasons[bench.job.stop?.reason ?? "other"]?.name}.{" "}
      {isCellUnsafe(bench.job) ? "Making it safe." : "Closing up."}
    </p>
  );
}

/** What is seldom needed: take back, stop, the job's record. */
function Aside({ bench }: { readonly bench: Bench }) {
  const { problem, answer } = useAnswer();
  const [stopping, setStopping] = useState(false);
  const [telling, setTelling] = useState(false);
  return (
    <div class="stack">
      {bench.last !== null && (
        <Button onPress={() => answer(() => takeBack(bench.code))}>Take back: {bench.last.title}</Button>
      )}
      {problem !== null && <Refusal problem={problem} />}
      {stopping ? (
        <StopForm bench={bench} onClose={() => setStopping(false)} />
      ) : (
        !bench.stopped && (
          <Button onPress={() => setStopping(true)} tone="danger">
            Stop this job
          </Button>
        )
      )}
      {telling ? (
        <section class="card" aria-labelledby="bench-incident">
          <h2 id="bench-incident">Something went wrong by us</h2>
          <IncidentForm code={bench.code} job={bench.job} onDone={() => setTelling(false)} />
          <Button onPress={() => setTelling(false)} tone="plain">
            Back to the step
          </Button>
        </section>
      ) : (
        <Button onPress={() => setTelling(true)}>Something went wrong by us</Button>
      )}
      <a class="button plain" href={`#/job/${bench.code}`}>
        Record of the job
      </a>
    </div>
  );
}
