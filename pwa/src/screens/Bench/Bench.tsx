/** A job on the bench: opens at its next step, whoever last worked on it and wherever. */
import { said } from "../../facts/texts.ts";
import "../../style/bench.css";
import { useState } from "preact/hooks";
import { openAgain, takeOver } from "../../actions/bench.ts";
import { goOnAfterLift } from "../../actions/stop.ts";
import { bind, isNotBegun, scanForStart } from "../../actions/tray.ts";
import { signedOn, state } from "../../current.ts";
import { newestProcedure } from "../../facts/catalogue.ts";
import { staffName } from "../../facts/people.ts";
import { type Bench as BenchView, benchOf, isOthers } from "../../facts/work.ts";
import type { Job } from "../../fold/state.ts";
import { ok, type Problem, type Result } from "../../problem.ts";
import { afterLift } from "../../rules/bench.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { stopReasons } from "../../tables.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { progressText } from "../../views/bench.ts";
import { groupCode } from "../../words/format.ts";
import { ChooseProcedure } from "../parts/ChooseProcedure.tsx";
import { TrayRefusal } from "../parts/TrayRefusal.tsx";
import { go } from "../route.ts";
import { CoreGate } from "./CoreGate.tsx";
import { FinalGate } from "./FinalGate.tsx";
import { useAwake } from "./handsFree.ts";
import { KeptSafe } from "./KeptSafe.tsx";
import { useKept } from "./kept.ts";
import { LeftoverGate } from "./LeftoverGate.tsx";
import { LiquidGate } from "./LiquidGate.tsx";
import { PairGate } from "./PairGate.tsx";
import { PowerGate } from "./PowerGate.tsx";
import { PrefitGate } from "./PrefitGate.tsx";
import { RecheckGate } from "./RecheckGate.tsx";
import { SafetyGate } from "./SafetyGate.tsx";
import { StopPage } from "./StopPage.tsx";
import { BringGate, ContainGate, UnplugGate } from "./UnsafeGates.tsx";
import { WhatYouNeed } from "./WhatYouNeed.tsx";
import { WorkStep } from "./WorkStep.tsx";

export function Bench({ code }: { readonly code: string }) {
  const closing = useKept<{ readonly stop: string | null }>(`bench:${code}:closing`, { stop: null });
  const job = state.value.job.get(code);
  if (job === undefined || !job.booked) return <NotHere problem={{ slug: "code-unknown", detail: code }} />;
  if (signedOn.value === null) return <NotHere problem={{ slug: "not-signed-on" }} to="sign-on" say="Sign on" />;
  if (job.stage === "handed_over")
    return <NotHere problem={{ slug: "job-closed" }} to={`job/${code}`} say="Record of the job" />;
  if (isNotBegun(job)) return <Start code={code} job={job} />;
  const found = benchOf(code);
  if (!found.ok && job.stop === null) return <NotHere problem={found.problem} />;
  const bench = found.ok ? found.value : null;
  if (job.stage === "ready") return <Ready code={code} job={job} />;
  const others = isOthers(job);
  if (job.stop !== null && (bench === null || others || closing.value.stop !== job.stop.event)) {
    const close = async (): Promise<Result<unknown>> => {
      const taken = others ? await takeOver(code) : ok(null);
      if (!taken.ok) return taken;
      closing.change({ stop: job.stop?.event ?? null });
      scrollTo(0, 0);
      return taken;
    };
    return (
      <StopPage
        code={code}
        job={job}
        bench={bench}
        onClosing={close}
        action={`${others ? "Take over and " : ""}${isCellUnsafe(job) ? "make it safe" : "close up"}`.replace(
          /^./,
          (c) => c.toUpperCase(),
        )}
      />
    );
  }
  if (bench?.open === null && isCellUnsafe(job)) return <KeptSafe code={code} job={job} />;
  if (bench === null || bench.open === null) return <Ready code={code} job={job} />;
  if (others) return <Others bench={bench} />;
  const left = afterLift(job, bench.procedure);
  if (left !== null && left.undo.length + left.answered.length > 0)
    return <Lifted bench={bench} reopens={left.undo.length > 0} />;
  return <StepScreen bench={bench} />;
}

function StepScreen({ bench }: { readonly bench: BenchView }) {
  useAwake();
  const step = bench.open;
  if (step === null) return null;
  const given = { bench, step };
  switch (step.gate) {
    case "safety":
      return <SafetyGate {...given} key={step.id} />;
    case "unplug":
      return <UnplugGate {...given} key={step.id} />;
    case "bring":
      return <BringGate {...given} key={step.id} />;
    case "contain":
      return <ContainGate {...given} key={step.id} />;
    case "liquid":
      return <LiquidGate {...given} key={step.id} />;
    case "power":
      return <PowerGate {...given} key={step.id} />;
    case "prefit":
      return <PrefitGate {...given} key={step.id} />;
    case "pair":
      return <PairGate {...given} key={step.id} />;
    case "final":
      return <FinalGate {...given} key={step.id} />;
    case "recheck":
      return <RecheckGate {...given} key={step.id} />;
    case "core":
      return <CoreGate {...given} key={step.id} />;
    case "leftover":
      return <LeftoverGate {...given} key={step.id} />;
    case null:
      return <WorkStep {...given} key={step.id} />;
  }
}

type NotHereProps = { readonly problem: Problem; readonly to?: string; readonly say?: string };

function NotHere({ problem, to = "scan", say = "Back to Scan" }: NotHereProps) {
  return (
    <Page title="Bench">
      <Refusal problem={problem}>
        <a class="button" href={`#/${to}`}>
          {say}
        </a>
      </Refusal>
    </Page>
  );
}

/** Booked, not begun: an empty tray is bound, and the procedure chosen. */
function Start({ code, job }: { readonly code: string; readonly job: Job }) {
  const [procedure, setProcedure] = useState<string | null>(job.procedure);
  const [compared, setCompared] = useState(false);
  const { problem, run } = useAct();
  const chosen = newestProcedure(procedure);
  const take = (text: string) =>
    run(async () => {
      const scanned = scanForStart(code, text);
      if (!scanned.ok) return scanned;
      if (scanned.value.tray !== null) return bind(scanned.value.tray, code, procedure);
      setCompared(true);
      return ok(null);
    });
  return (
    <Page
      title={procedure === null ? "Choose the procedure" : "Take an empty tray"}
      above={`${job.model ?? "Device"} · job ${groupCode(code)}`}
    >
      <p class="big">{said(job.complaint)}</p>
      <ChooseProcedure model={job.model} value={procedure} onChoose={setProcedure} />
      {procedure !== null && (
        <Scanner onFound={take} say="An empty tray; the device first, to be sure" enterWord="Take it" />
      )}
      {compared && (
        <p class="mark good">
          <Shape name="done" />
          This is the device of this job. Now the tray.
        </p>
      )}
      {problem !== null && <TrayRefusal problem={problem} job={code} />}
      {chosen !== null && <WhatYouNeed procedure={chosen} />}
    </Page>
  );
}

function Others({ bench }: { readonly bench: BenchView }) {
  const { problem, run } = useAct();
  const take = () => run(() => takeOver(bench.code));
  const who = staffName(bench.job.bench_staff);
  return (
    <>
      <Page title={`${who} has this job`} above={`${bench.job.model ?? "Device"} · job ${groupCode(bench.code)}`}>
        <p class="big">
          {bench.open === null ? "Nothing is open." : `${progressText(bench, bench.open)}: ${bench.open.title}.`}
        </p>
        <p>Speak with {who} if you can. Taking over is on the record; nothing is lost.</p>
        {problem !== null && <Refusal problem={problem} />}
        <a class="button plain" href={`#/job/${bench.code}`}>
          Record of the job
        </a>
      </Page>
      <Dock>
        <Button onPress={take} tone="main">
          Take this job over
        </Button>
      </Dock>
    </>
  );
}

/** A stop was lifted at another screen: the walk is set right before work goes on. */
function Lifted({ bench, reopens }: { readonly bench: BenchView; readonly reopens: boolean }) {
  const { problem, run } = useAct();
  const lift = bench.job.lifts.at(-1);
  const goOn = () => run(() => goOnAfterLift(bench.code));
  return (
    <>
      <Page title="A lead lifted the stop" above={`${bench.job.model ?? "Device"} · job ${groupCode(bench.code)}`}>
        <blockquote class="big">{said(lift?.why ?? null)}</blockquote>
        <p>{staffName(lift?.staff ?? null)}</p>
        {reopens && (
          <p class="big">
            The device was closed meanwhile. Its steps are open again, from the first one that was closed.
          </p>
        )}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={goOn} tone="main">
          Go on with the work
        </Button>
      </Dock>
    </>
  );
}

function Ready({ code, job }: { readonly code: string; readonly job: Job }) {
  const { problem, run } = useAct();
  const again = () => run(() => openAgain(code));
  const stopped = job.stop !== null;
  return (
    <>
      <Page
        title={stopped ? "Closed up, not repaired" : "Ready"}
        above={`${job.model ?? "Device"} · job ${groupCode(code)}`}
      >
        <Notice
          tone={stopped ? "warn" : "good"}
          title={
            stopped
              ? (stopReasons[job.stop?.reason ?? "other"]?.name ?? "Stopped")
              : "Tested, closed, nothing left over"
          }
        >
          <p>{stopped ? "The counter hands the device back." : "The counter tells the customer."}</p>
        </Notice>
        <ul class="rows">
          <li class="mark">
            <Shape name="away" /> Device: on the shelf
          </li>
          <li class="mark">
            <Shape name="away" /> Tray: empty, free for the next job
          </li>
        </ul>
        <a class="button" href={`#/job/${code}`}>
          Record of the job
        </a>
        {problem !== null && <Refusal problem={problem} />}
        {!stopped && (
          <>
            <Button onPress={again} tone="plain">
              Open it again on the bench
            </Button>
            <p class="soft">The whole device is tested again then.</p>
          </>
        )}
      </Page>
      <Dock>
        <Button onPress={() => go("scan")} tone="main">
          Next: scan
        </Button>
      </Dock>
    </>
  );
}
