/** The test that the device runs on itself: its address, then what it found, then what the technician makes of it. */
import { useEffect, useState } from "preact/hooks";
import { followSelfTest, forgetSelfTest, type Offer, offerSelfTest, type Progress } from "../../actions/selfTest.ts";
import { signedOn } from "../../current.ts";
import { openPoints, STAGE_WORDS } from "../../facts/selfTest.ts";
import type { TestStage } from "../../fold/state.ts";
import type { Problem } from "../../problem.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import "../../style/selftest.css";
import { refusalOf } from "../../ui/act.ts";
import { OfferShown } from "./OfferShown.tsx";
import { Proposals } from "./Proposals.tsx";

/** A test takes minutes; a person who waits for the last step of it should not. */
const ASK_EVERY_MS = 2000;

const STAGES: readonly string[] = ["intake", "prefit", "final"];

export function SelfTest({ code, stage }: { readonly code: string; readonly stage: string | null }) {
  if (stage === null || !STAGES.includes(stage)) {
    return (
      <Page title="The device tests itself">
        <Refusal problem={{ slug: "not-found" }}>
          <a class="button" href="#/scan">
            Scan
          </a>
        </Refusal>
      </Page>
    );
  }
  return <OfStage code={code} stage={stage as TestStage} />;
}

function OfStage({ code, stage }: { readonly code: string; readonly stage: TestStage }) {
  const [asked, setAsked] = useState(0);
  const [offer, setOffer] = useState<Offer | null>(null);
  const [progress, setProgress] = useState<Progress | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [written, setWritten] = useState<number | null>(null);
  const back = stage === "intake" ? `#/job/${code}` : `#/bench/${code}`;
  const above = `${groupCode(code)}, ${STAGE_WORDS[stage]}`;

  useEffect(() => {
    let left = false;
    void refusalOf(
      () => offerSelfTest(code, stage),
      (made) => left || setOffer(made),
    ).then((refused) => {
      if (left) return;
      if (refused !== null) setOffer(null);
      setProblem(refused);
    });
    return () => {
      left = true;
    };
  }, [code, stage, asked, signedOn.value]);

  const done = progress?.state === "done";
  useEffect(() => {
    if (offer === null || done) return;
    let left = false;
    const look = async (): Promise<void> => {
      if (document.hidden) return;
      const refused = await refusalOf(
        () => followSelfTest(offer),
        (found) => left || setProgress(found),
      );
      if (left) return;
      setProblem(refused);
      if (refused?.slug === "selftest-over") setOffer(null);
    };
    void look();
    const timer = setInterval(() => void look(), ASK_EVERY_MS);
    return () => {
      left = true;
      clearInterval(timer);
    };
  }, [offer, done]);

  const again = (): void => {
    if (offer !== null) void forgetSelfTest(code, stage, offer);
    setProgress(null);
    setOffer(null);
    setProblem(null);
    setAsked((n) => n + 1);
  };
  const finish = (count: number): void => {
    if (offer !== null) void forgetSelfTest(code, stage, offer);
    setWritten(count);
    scrollTo(0, 0);
  };

  if (written !== null) return <Written count={written} above={above} back={back} />;
  if (offer !== null && progress?.state === "done") {
    const open = openPoints(code, stage);
    if (!open.ok) return <NotNow problem={open.problem} above={above} back={back} />;
    return (
      <Proposals
        code={code}
        stage={stage}
        job={open.value.job}
        points={open.value.points}
        found={progress.results}
        above={above}
        onDone={finish}
        onAgain={again}
      />
    );
  }
  if (offer === null && problem !== null) {
    const canTry = problem.slug === "selftest-over" || problem.slug === "selftest-offline";
    return (
      <NotNow problem={problem} above={above} back={back}>
        {canTry && (
          <Button onPress={again} tone="main">
            Show a new address
          </Button>
        )}
      </NotNow>
    );
  }
  if (offer === null) return <Page title="The device tests itself" above={above} children={null} />;
  return (
    <OfferShown
      offer={offer}
      isOpen={progress?.state === "open"}
      lost={problem}
      above={above}
      back={back}
      onAgain={again}
    />
  );
}

function NotNow(props: {
  readonly problem: Problem;
  readonly above: string;
  readonly back: string;
  readonly children?: preact.ComponentChildren;
}) {
  return (
    <>
      <Page title="The device tests itself" above={props.above}>
        <Refusal problem={props.problem} />
        <a class="button" href={props.back}>
          Back, and test by hand
        </a>
      </Page>
      {props.children && <Dock>{props.children}</Dock>}
    </>
  );
}

function Written({ count, above, back }: { readonly count: number; readonly above: string; readonly back: string }) {
  return (
    <>
      <Page
        title={count === 0 ? "Nothing was written" : `${count} ${count === 1 ? "reading" : "readings"} written`}
        above={above}
      >
        <Notice tone="good" title="Saved on this station">
          <p>What the device found and was not taken over is forgotten. Test the other points by hand.</p>
        </Notice>
      </Page>
      <Dock>
        <a class="button main" href={back}>
          Back to the tests
        </a>
      </Dock>
    </>
  );
}
