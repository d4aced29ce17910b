/** The walk of small steps; every change is kept at once. */
import { useRef, useState } from "preact/hooks";
import { bookIn, keepBooking, throwAwayBooking } from "../../actions/book.ts";
import { signedOn } from "../../current.ts";
import {
  after,
  type Booking,
  before,
  isNumbered,
  isUnsafe,
  openJobOf,
  STEP_TITLES,
  walkOf,
  wanted,
} from "../../facts/booking.ts";
import { ok } from "../../problem.ts";
import { unsafePaths } from "../../rules/safety.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { EmergencyLink } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";
import { AgreedStep } from "./AgreedStep.tsx";
import { ComplaintStep } from "./ComplaintStep.tsx";
import { DeviceStep } from "./DeviceStep.tsx";
import { LockStep } from "./LockStep.tsx";
import { MarksStep } from "./MarksStep.tsx";
import { ModelStep } from "./ModelStep.tsx";
import { PriceStep } from "./PriceStep.tsx";
import { PromiseStep } from "./PromiseStep.tsx";
import { SafetyStep } from "./SafetyStep.tsx";
import { SummaryStep } from "./SummaryStep.tsx";
import type { StepProps } from "./step.ts";
import { TestsStep } from "./TestsStep.tsx";
import { WayStep } from "./WayStep.tsx";
import { WhoStep } from "./WhoStep.tsx";

export function Walk({ start }: { readonly start: Booking }) {
  const held = useRef(start);
  const [booking, setBooking] = useState(start);
  const [missing, setMissing] = useState<string | null>(null);
  const { problem, busy, run, setProblem } = useAct();
  const { step } = booking;
  useHeadingFocus(`${step} ${step === "marks" ? booking.editing : ""}`);

  const change = (patch: Partial<Booking>): void => {
    held.current = { ...held.current, ...patch };
    setBooking(held.current);
    setMissing(null);
    keepBooking(held.current).catch((error: unknown) => setProblem({ slug: "storage-failed", detail: String(error) }));
  };
  const next = (): void => {
    const open = wanted(held.current, step);
    if (open === null) change({ step: after(held.current), toSummary: false });
    else setMissing(open);
  };
  const finish = () =>
    run(
      () => bookIn(held.current),
      (job) => go(`book/done/${job}`, "replace"),
    );
  const throwAway = () =>
    run(
      async () => ok(await throwAwayBooking()),
      () => go("scan", "replace"),
    );

  const walk = walkOf(booking);
  const at = `${isUnsafe(booking) ? "Booking in as unsafe" : "Booking in"}, ${walk.indexOf(step) + 1} of ${walk.length}`;
  return (
    <>
      <Page title={STEP_TITLES[step]} above={at}>
        {signedOn.value === null && (
          <Refusal problem={{ slug: "not-signed-on" }} answers={null}>
            <a href="#/sign-on">Sign on now; this booking is kept</a>
          </Refusal>
        )}
        {step !== "safety" && <UnsafeLine booking={booking} />}
        <Step booking={booking} change={change} />
        {missing !== null && <Notice tone="warn" title={missing} answers={missing} />}
        {problem !== null && <Refusal problem={problem} />}
        {(step === "safety" || step === "device") && booking.imei + booking.serial + booking.name !== "" && (
          <ThrowAway onThrow={throwAway} />
        )}
      </Page>
      <StepDock booking={booking} change={change} onNext={next} onBook={finish} busy={busy} />
    </>
  );
}

/** On every step of an unsafe device: what is not done to it, and the way to the emergency page. */
function UnsafeLine({ booking }: { readonly booking: Booking }) {
  const paths = unsafePaths(booking.safety);
  if (paths.length === 0) return null;
  return (
    <div class="row apart">
      <p class="mark stop">
        <Shape name="stop" />
        {paths.includes("battery") ? "Do not charge, press or open it" : "Do not charge it, do not switch it on"}
      </p>
      {paths.includes("battery") && <EmergencyLink />}
    </div>
  );
}

/** Two presses, since nothing of it can be had back. */
function ThrowAway({ onThrow }: { readonly onThrow: () => void }) {
  const [sure, setSure] = useState(false);
  return (
    <Button onPress={sure ? onThrow : () => setSure(true)} tone={sure ? "danger" : "plain"}>
      {sure ? "Yes, throw everything away" : "Throw this booking away"}
    </Button>
  );
}

function Step(props: StepProps) {
  switch (props.booking.step) {
    case "safety":
      return <SafetyStep {...props} />;
    case "device":
      return <DeviceStep {...props} />;
    case "model":
      return <ModelStep {...props} />;
    case "who":
      return <WhoStep {...props} />;
    case "complaint":
      return <ComplaintStep {...props} />;
    case "marks":
      return <MarksStep {...props} />;
    case "lock":
      return <LockStep {...props} />;
    case "tests":
      return <TestsStep {...props} />;
    case "agreed":
      return <AgreedStep {...props} />;
    case "price":
      return <PriceStep {...props} />;
    case "promise":
      return <PromiseStep {...props} />;
    case "way":
      return <WayStep {...props} />;
    case "summary":
      return <SummaryStep {...props} />;
  }
}

/** The button says what is done with the device. */
function bookWord(booking: Booking): string {
  const paths = unsafePaths(booking.safety);
  if (paths.includes("battery")) return "Book in as unsafe: to the safe place";
  return paths.includes("liquid") ? "Book in as wet: it stays off" : "Book in";
}

type DockProps = StepProps & { readonly onNext: () => void; readonly onBook: () => void; readonly busy: boolean };

/** The one main action of the step, and the way back. */
function StepDock({ booking, change, onNext, onBook, busy }: DockProps) {
  const { step, editing } = booking;
  if (step === "marks" && editing !== null) {
    const known = booking.marks.find((m) => m.id === editing)?.what !== null;
    const takeAway = () => change({ marks: booking.marks.filter((m) => m.id !== editing), editing: null });
    return (
      <Dock>
        <Button onPress={takeAway} tone="aside">
          Remove it
        </Button>
        <Button onPress={() => change({ editing: null })} tone="main" disabled={!known}>
          {known ? "Mark done" : "Say what it is"}
        </Button>
      </Dock>
    );
  }
  if (step === "device" && !isNumbered(booking)) {
    return (
      <Dock>
        <Button onPress={() => change({ step: "safety", toSummary: false })} tone="aside">
          Back
        </Button>
        <Button onPress={() => change({ noNumber: true })}>No number can be read</Button>
      </Dock>
    );
  }
  const open = step === "device" ? openJobOf(booking) : null;
  if (open !== null && !booking.knowingly) {
    return (
      <Dock>
        <Button onPress={() => change({ knowingly: true })} tone="aside">
          Book in anew
        </Button>
        <Button onPress={() => go(`job/${open}`)} tone="main">
          To the open job
        </Button>
      </Dock>
    );
  }
  const back = before(booking);
  return (
    <Dock>
      {back !== null && (
        <Button onPress={() => change({ step: back, toSummary: false })} tone="aside">
          Back
        </Button>
      )}
      {step === "summary" ? (
        <Button onPress={onBook} tone="main" disabled={busy}>
          {bookWord(booking)}
        </Button>
      ) : (
        <Button onPress={onNext} tone="main">
          {booking.toSummary ? "Back to the summary" : "Next"}
        </Button>
      )}
    </Dock>
  );
}
