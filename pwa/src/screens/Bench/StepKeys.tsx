/** The next step without fingers: a pedal's keys, or this job's own tray held before a scanner. Gates are answered by hand. */
import "../../style/hands.css";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { takeBack } from "../../actions/bench.ts";
import { handsFree } from "../../actions/hands.ts";
import { readScan } from "../../codes/scanned.ts";
import { hearPedal, type Press } from "../../device/pedal.ts";
import { jobOfScan } from "../../facts/leadsTo.ts";
import type { Bench } from "../../facts/work.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { useScans } from "../../ui/scans.ts";
import { followScan } from "../route.ts";
import { awake, type How, lastDone, lookedBack, trayCamera } from "./handsFree.ts";
import { StepTimer } from "./Timer.tsx";

type Props = {
  readonly bench: Bench;
  readonly step: Step;
  /** The step's main action, and whether it was done; absent at gates. */
  readonly onMain?: () => Promise<boolean>;
};

export function StepKeys({ bench, step, onMain }: Props) {
  const [note, setNote] = useState<string | null>(null);
  const { problem, run } = useAct();
  useEffect(() => {
    lookedBack.value = 0;
  }, [step.id]);
  const earlier = bench.steps.slice(
    0,
    bench.steps.findIndex((s) => s.id === step.id),
  );

  const main = async (how: How): Promise<void> => {
    if (onMain === undefined) return setNote("This step decides whether work may go on: answer it on the screen.");
    if (await onMain()) lastDone.value = { code: bench.code, step: step.id, how };
  };
  const press = (what: Press): void => {
    if (!handsFree.value.keys) return;
    setNote(null);
    if (what === "back") lookedBack.value = Math.min(earlier.length, lookedBack.value + 1);
    else if (lookedBack.value > 0) lookedBack.value -= 1;
    else void main("a key");
  };
  const scan = (text: string): void => {
    setNote(null);
    const scanned = readScan(text);
    const isTray = scanned.ok && scanned.value.is === "code" && scanned.value.kind === "T";
    if (isTray && jobOfScan(scanned.value) === bench.code) {
      if (handsFree.value.tray) void main("its tray");
      else setNote("This is the tray of this job. Done by scanning is switched off on this station.");
      return;
    }
    void run(() => followScan(text));
  };

  const heard = useRef(press);
  heard.current = press;
  useLayoutEffect(() => hearPedal((what) => heard.current(what)), []);
  const isWork = onMain !== undefined;
  const watches = isWork && handsFree.value.tray && trayCamera.value;
  useScans(isWork && !watches ? scan : null);

  const undo = lastDone.value;
  const shown = lookedBack.value > 0 ? (earlier[earlier.length - lookedBack.value] ?? null) : null;
  return (
    <>
      {awake.value && (
        <p class="mark soft small">
          <Shape name="now" size={20} />
          The screen stays on
        </p>
      )}
      {undo !== null && undo.code === bench.code && undo.step === bench.last?.id && (
        <Undo bench={bench} title={bench.last.title} how={undo.how} />
      )}
      {note !== null && (
        <p class="mark warn" role="status">
          <Shape name="warn" />
          {note}
        </p>
      )}
      {problem !== null && <Refusal problem={problem} />}
      {watches && <Scanner onFound={scan} say="This job's tray: the step is done" atOnce />}
      {shown !== null && <LookBack step={shown} bench={bench} hasEarlier={lookedBack.value < earlier.length} />}
      {step.wait_s !== null && <StepTimer bench={bench} step={step} wait_s={step.wait_s} />}
    </>
  );
}

function Undo({ bench, title, how }: { readonly bench: Bench; readonly title: string; readonly how: How }) {
  const { problem, run } = useAct();
  const back = async (): Promise<void> => {
    if (!(await run(() => takeBack(bench.code)))) return;
    lastDone.value = null;
    scrollTo(0, 0);
  };
  return (
    <div class="hands-undo" role="status">
      <p class="mark good">
        <Shape name="done" />
        Done by {how}: {title}
      </p>
      <Button onPress={back}>Take back</Button>
      {problem !== null && <Refusal problem={problem} />}
    </div>
  );
}

type LookProps = { readonly step: Step; readonly bench: Bench; readonly hasEarlier: boolean };

/** An earlier step, to read only. */
function LookBack({ step, bench, hasEarlier }: LookProps) {
  const place = bench.steps.findIndex((s) => s.id === step.id) + 1;
  return (
    <section class="card hands-back" aria-label="Looking back" aria-live="polite">
      <p class="soft">Looking back: step {place}, done</p>
      <h2>{step.title}</h2>
      {step.say.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <div class="row">
        <Button
          onPress={() => {
            lookedBack.value = 0;
          }}
        >
          To the open step
        </Button>
        {hasEarlier && (
          <Button
            onPress={() => {
              lookedBack.value += 1;
            }}
          >
            One more back
          </Button>
        )}
      </div>
    </section>
  );
}
