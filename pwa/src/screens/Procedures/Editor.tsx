/** Writing a procedure on a desk screen: outline, the one thing at hand, and beside it what the check finds and the bench would show. */
import { useEffect, useRef, useState } from "preact/hooks";
import { exportProcedure, publish } from "../../actions/procedure.ts";
import {
  ABOUT,
  type Draft,
  type FaultLine,
  faultLines,
  newestRevision,
  type Place,
} from "../../facts/procedureDraft.ts";
import type { Problem } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { isWide } from "../../ui/wide.ts";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { go } from "../route.ts";
import { AboutForm } from "./AboutForm.tsx";
import { ConnectorsForm, PairsForm } from "./ConnectorsForm.tsx";
import { FastenersForm } from "./FastenersForm.tsx";
import { Outline } from "./Outline.tsx";
import { SceneForm } from "./SceneForm.tsx";
import { Side, type SideView } from "./Side.tsx";
import { StepForm } from "./StepForm.tsx";
import { type Hand, useDraft } from "./useDraft.ts";

export function Editor({ id }: { readonly id: string }) {
  const hand = useDraft(id);
  const [place, setPlace] = useState<Place>(ABOUT);
  const [view, setView] = useState<SideView>("check");
  const { problem, busy, run } = useAct();
  const [said, setSaid] = useState<string | null>(null);
  const [top, form, side] = [useRef<HTMLDivElement>(null), useRef<HTMLDivElement>(null), useRef<HTMLDivElement>(null)];
  const draft = hand.inHand;
  if (draft === null) {
    return (
      <Page title="Procedures" above="Shop">
        {hand.isRead && hand.problem !== null && <Refusal problem={hand.problem} />}
        {hand.isRead && hand.problem === null && (
          <Notice tone="warn" title="There is no such procedure">
            <a class="button" href="#/procedures">
              All procedures
            </a>
          </Notice>
        )}
      </Page>
    );
  }
  const { procedure } = draft;
  const faults = faultLines(procedure);
  const newest = newestRevision(id);
  const isChanged = hand.draft !== null;
  const say = (what: string): void => {
    setSaid(what);
    requestAnimationFrame(() => top.current?.scrollIntoView());
  };
  const send = () =>
    run(
      async () => {
        const published = await publish(draft, newest + 1);
        setSaid(null);
        if (!published.ok && published.problem.slug === "procedure-unsound") setView("check");
        return published;
      },
      (revision) => {
        hand.published(draft, revision);
        say(`Revision ${revision} is published. Jobs that are under way keep theirs.`);
      },
    );
  const save = async (): Promise<void> => {
    const done = await run(
      () => exportProcedure(procedure),
      (missing) =>
        say(
          missing === 0 ? "The file is saved." : `The file is saved, without ${missing} photos that could not be had.`,
        ),
    );
    if (!done) setSaid(null);
  };
  const goTo = (next: Place): void => {
    setPlace(next);
    setSaid(null);
    // Where the parts lie below each other, the form is out of sight; the one just chosen is drawn first.
    requestAnimationFrame(() => !isWide() && form.current?.scrollIntoView());
  };
  const seeFaults = (): void => {
    setView("check");
    requestAnimationFrame(() => !isWide() && side.current?.scrollIntoView());
  };
  return (
    <>
      <Page title={`${procedure.title}, ${procedure.model}`} above={aboveText(hand, newest)} full>
        <OnlineOnly />
        {hand.problem !== null && <Unkept hand={hand} problem={hand.problem} />}
        {newest > draft.base && isChanged && (
          <Notice tone="warn" title={`Revision ${newest} was published meanwhile`}>
            <p>
              This draft began from {draft.base === 0 ? "nothing" : `revision ${draft.base}`} and does not know it. See
              the differences before you publish.
            </p>
          </Notice>
        )}
        <div class="row proc-ways" ref={top}>
          <Button onPress={() => go("procedures")}>All procedures</Button>
          <Button onPress={save}>Save as a file</Button>
          {isChanged && <ThrowAway draft={draft} onDrop={hand.drop} />}
        </div>
        {problem !== null && <Refusal problem={problem} />}
        {said !== null && <Notice tone="good" title={said} />}
        <div class="proc">
          <Outline procedure={procedure} place={place} faults={faults} onGo={goTo} onChange={hand.change} />
          <div class="stack proc-form" ref={form}>
            <Form place={place} hand={hand} procedure={procedure} onGo={goTo} />
          </div>
          <div class="proc-side" ref={side}>
            <Side
              view={view}
              onView={setView}
              procedure={procedure}
              place={place}
              faults={faults}
              onGo={goTo}
              base={draft.base}
            />
          </div>
        </div>
      </Page>
      <Dock>
        <div class="proc-dock">
          <Verdict faults={faults} onSee={seeFaults} />
          <span class="proc-up">
            <Button onPress={() => top.current?.scrollIntoView()}>Contents</Button>
          </span>
          <Button onPress={hand.undo} disabled={!hand.canUndo}>
            Undo
          </Button>
          <Button onPress={send} tone="main" disabled={!isChanged || busy}>
            Publish revision {newest + 1}
          </Button>
        </div>
      </Dock>
    </>
  );
}

function aboveText(hand: Hand, newest: number): string {
  const shop = newest === 0 ? "not published yet" : `the shop works by revision ${newest}`;
  return hand.draft !== null ? `Draft on this station, ${shop}` : `As published, ${shop}`;
}

type FormProps = {
  readonly place: Place;
  readonly hand: Hand;
  readonly procedure: Parameters<typeof AboutForm>[0]["procedure"];
  readonly onGo: (place: Place) => void;
};

function Form({ place, hand, procedure, onGo }: FormProps) {
  const shared = { procedure, onChange: hand.change };
  switch (place.part) {
    case "about":
      return <AboutForm {...shared} />;
    case "fasteners":
      return <FastenersForm {...shared} />;
    case "connectors":
      return <ConnectorsForm {...shared} />;
    case "pairs":
      return <PairsForm {...shared} />;
    case "scene":
      return <SceneForm key={place.id} {...shared} id={place.id} onGo={onGo} />;
    case "step":
      return <StepForm key={place.id} {...shared} id={place.id} onGo={onGo} />;
  }
}

function Verdict({ faults, onSee }: { readonly faults: readonly FaultLine[]; readonly onSee: () => void }) {
  if (faults.length === 0) {
    return (
      <p class="mark good" role="status">
        <Shape name="done" />
        Sound
      </p>
    );
  }
  return (
    <button type="button" class="button plain proc-verdict" onClick={onSee}>
      <Shape name="warn" />
      {faults.length} {faults.length === 1 ? "fault" : "faults"}
    </button>
  );
}

/** Why the draft is not kept, and what to do about two tabs. */
function Unkept({ hand, problem }: { readonly hand: Hand; readonly problem: Problem }) {
  if (problem.slug !== "draft-elsewhere") return <Refusal problem={problem} />;
  return (
    <>
      <Refusal problem={problem} />
      <div class="row">
        <Button onPress={() => hand.takeOther()}>Go on with the other tab's</Button>
        <Button onPress={() => hand.keepThis()}>Keep this one over it</Button>
      </div>
    </>
  );
}

/** Asked once more, since a draft is nowhere else; anew after each change of it. */
function ThrowAway({ draft, onDrop }: { readonly draft: Draft; readonly onDrop: () => void }) {
  const [sure, setSure] = useState(false);
  useEffect(() => setSure(false), [draft]);
  if (!sure) return <Button onPress={() => setSure(true)}>Throw the draft away</Button>;
  return (
    <Button
      onPress={() => {
        onDrop();
        if (draft.base === 0) go("procedures");
      }}
      tone="danger"
    >
      Yes, throw it away
    </Button>
  );
}
