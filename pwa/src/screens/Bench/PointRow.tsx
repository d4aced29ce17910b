/** One test point under the thumb: works, fails, or cannot be tested and why. */
import { useState } from "preact/hooks";
import type { TestResult } from "../../events/kinds.gen.ts";
import type { Result } from "../../problem.ts";
import { howToTest, isBarred, lockedWhy } from "../../rules/locked.ts";
import { lockedReason } from "../../tables/testPoints.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lower } from "../../words/format.ts";
import { pointName } from "../../words/points.ts";

export type Said = { readonly result: TestResult; readonly why: string };

type Props = {
  readonly point: string;
  readonly result: TestResult | null;
  readonly why: string | null;
  /** What the three stages say together, once there is something to say. */
  readonly verdict?: { readonly name: string; readonly say: string; readonly blocks: boolean };
  /** The device stays locked. */
  readonly locked?: boolean;
  /** A reason why it cannot be tested, offered for one press. */
  readonly ready?: string | null;
  readonly onSay: (said: Said) => Promise<Result<unknown>>;
};

const WORDS: Readonly<Record<TestResult, string>> = { pass: "works", fail: "fails", cannot: "cannot be tested" };
const SHAPES = { pass: "done", fail: "stop", cannot: "open" } as const;
const TONES = { pass: "good", fail: "stop", cannot: "" } as const;

export function PointRow({ point, result, why, verdict, ready, locked = false, onSay }: Props) {
  const [again, setAgain] = useState(false);
  const [cannot, setCannot] = useState(false);
  const [reason, setReason] = useState("");
  const { problem, run } = useAct();
  const say = async (said: Said): Promise<void> => {
    if (!(await run(() => onSay(said)))) return;
    setAgain(false);
    setCannot(false);
    setReason("");
  };
  const asking = result === null || again;
  const name = pointName(point);
  return (
    <li class="bench-point">
      <div class="row apart">
        <h3>{name}</h3>
        {result !== null && (
          <span class="bench-result">
            <span class={`mark ${TONES[result]}`}>
              <Shape name={SHAPES[result]} />
              {WORDS[result]}
            </span>
            {!again && (
              <button
                type="button"
                class="button plain"
                aria-label={`Test ${name.toLowerCase()} again`}
                onClick={() => setAgain(true)}
              >
                Again
              </button>
            )}
          </span>
        )}
      </div>
      {asking && <p class="soft">{howToTest(point, locked)}</p>}
      {asking && locked && isBarred(point) && (
        <button
          type="button"
          class="button"
          aria-label={`${name}: cannot be tested, ${lower(lockedReason)}`}
          onClick={() => say({ result: "cannot", why: lockedWhy(point) })}
        >
          Cannot be tested: {lower(lockedReason)}
        </button>
      )}
      {why !== null && !asking && <p class="soft">{why}</p>}
      {verdict !== undefined && result === "fail" && (
        <p class={`bench-verdict ${verdict.blocks ? "blocks" : ""}`}>
          <strong>{verdict.name}.</strong> {verdict.say}
        </p>
      )}
      {asking && (
        <fieldset class="bench-answers" aria-label={name}>
          <Answer word="Works" shape="done" label={`${name}: works`} onPress={() => say({ result: "pass", why: "" })} />
          <Answer word="Fails" shape="stop" label={`${name}: fails`} onPress={() => say({ result: "fail", why: "" })} />
          <Answer word="Cannot" shape="open" label={`${name}: cannot be tested`} onPress={() => setCannot(!cannot)} />
        </fieldset>
      )}
      {asking && cannot && (
        <div class="stack">
          {locked && !isBarred(point) && ready == null && (
            <Button onPress={() => say({ result: "cannot", why: lockedWhy(point) })}>{lockedReason}</Button>
          )}
          {ready != null && <Button onPress={() => say({ result: "cannot", why: ready })}>{ready}</Button>}
          <TextField label="Why it cannot be tested" value={reason} onInput={setReason} />
          <Button onPress={() => say({ result: "cannot", why: reason })}>Enter the reason</Button>
        </div>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </li>
  );
}

type AnswerProps = {
  readonly word: string;
  readonly shape: "done" | "stop" | "open";
  readonly label: string;
  readonly onPress: () => void;
};

function Answer({ word, shape, label, onPress }: AnswerProps) {
  return (
    <button type="button" class="button" aria-label={label} onClick={onPress}>
      <Shape name={shape} size={22} />
      {word}
    </button>
  );
}
