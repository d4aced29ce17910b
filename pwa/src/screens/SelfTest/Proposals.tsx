/** What the device found, point by point. Nothing is written before the button below is pressed. */
import { useId, useState } from "preact/hooks";
import { confirmSelfTest, type Taken } from "../../actions/selfTest.ts";
import { barredWords, type Found, type Proposal, proposalsOf } from "../../facts/selfTest.ts";
import type { Job, TestStage } from "../../fold/state.ts";
import { readingOf } from "../../rules/tests.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { pointName } from "../../words/points.ts";
import { GlassMap, SpotMap } from "./GlassMap.tsx";

type Props = {
  readonly code: string;
  readonly stage: TestStage;
  readonly job: Job;
  readonly points: readonly string[];
  readonly found: Found;
  readonly above: string;
  readonly onDone: (written: number) => void;
  readonly onAgain: () => void;
};

type Choice = "pass" | "fail" | "out";
const WORDS: readonly (readonly [Choice, string])[] = [
  ["pass", "Works"],
  ["fail", "Fails"],
  ["out", "Leave out"],
];
const HELD = { pass: "works", fail: "fails", cannot: "cannot be tested" } as const;

export function Proposals({ code, stage, job, points, found, above, onDone, onAgain }: Props) {
  const [changed, setChanged] = useState<Readonly<Record<string, Choice>>>({});
  const { problem, run } = useAct();
  const proposals = proposalsOf(found, points);
  const barred = barredWords(found);
  const chosen = (p: Proposal): Choice => changed[p.point] ?? p.result ?? "out";
  const taken = proposals.flatMap((proposal): Taken[] => {
    const result = chosen(proposal);
    return result === "out" ? [] : [{ proposal, result }];
  });
  const write = async (): Promise<void> => {
    if (taken.length === 0 || (await run(() => confirmSelfTest(code, stage, taken)))) onDone(taken.length);
  };
  return (
    <>
      <Page title="This is what the device found" above={above}>
        {problem !== null && <Refusal problem={problem} />}
        <p>Look at each. Nothing is written until you press the button below.</p>
        {proposals.length === 0 && (
          <Notice tone="plain" title="Nothing for these tests">
            <p>Every test that counts here was skipped. Test by hand, or show the address again.</p>
          </Notice>
        )}
        <ul class="rows">
          {proposals.map((p) => (
            <Row
              key={p.point}
              proposal={p}
              chosen={chosen(p)}
              held={readingOf(job, stage, p.point)?.result ?? null}
              onChoose={(choice) => setChanged({ ...changed, [p.point]: choice })}
            />
          ))}
        </ul>
        {barred.length > 0 && (
          <section aria-labelledby="selftest-barred" class="stack">
            <h2 id="selftest-barred">The page could not test</h2>
            <ul>
              {barred.map((line) => (
                <li key={line} class="soft">
                  {line}
                </li>
              ))}
            </ul>
          </section>
        )}
        <Button onPress={onAgain} tone="plain">
          Forget this and test again
        </Button>
      </Page>
      <Dock>
        <Button onPress={write} tone="main">
          {taken.length === 0
            ? "Write nothing"
            : `Write ${taken.length} ${taken.length === 1 ? "reading" : "readings"}`}
        </Button>
      </Dock>
    </>
  );
}

function Row(props: {
  readonly proposal: Proposal;
  readonly chosen: Choice;
  /** What stands there already. */
  readonly held: keyof typeof HELD | null;
  readonly onChoose: (choice: Choice) => void;
}) {
  const name = useId();
  const { proposal, chosen, held, onChoose } = props;
  return (
    <li class="selftest-row">
      <fieldset class="field">
        <legend>
          <span class={`mark ${chosen === "pass" ? "good" : chosen === "fail" ? "stop" : ""}`}>
            <Shape name={chosen === "pass" ? "done" : chosen === "fail" ? "stop" : "open"} />
            {pointName(proposal.point)}
          </span>
        </legend>
        <p>{proposal.evidence}</p>
        {proposal.result === null && <p class="soft">This decides nothing: look yourself.</p>}
        {held !== null && <p class="soft">Entered before: {HELD[held]}</p>}
        {proposal.touch !== undefined && <GlassMap touch={proposal.touch} />}
        {proposal.spots !== undefined && proposal.spots.length > 0 && <SpotMap spots={proposal.spots} />}
        <div class="selftest-three">
          {WORDS.map(([choice, word]) => (
            <label class="choice" key={choice}>
              <input type="radio" name={name} checked={chosen === choice} onChange={() => onChoose(choice)} />
              <span>{word}</span>
            </label>
          ))}
        </div>
      </fieldset>
    </li>
  );
}
