/** The intake test sheet: a press a group where all works, point by point where it does not. */
import { useId, useState } from "preact/hooks";
import {
  answered,
  answeredLocked,
  barredPoints,
  CANNOT_WHY,
  type DraftReading,
  INTAKE_GROUPS,
  INTAKE_POINTS,
  isExpected,
  lackingPoints,
  openPoints,
} from "../../facts/booking.ts";
import type { TestResult } from "../../fold/state.ts";
import { howToTest, isBarred, lockedWhy } from "../../rules/locked.ts";
import { becauseWord, lackingWhy, lockedReason, lockedWords, testPoints } from "../../tables/testPoints.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lower } from "../../words/format.ts";
import { pointNames } from "../../words/points.ts";
import type { StepProps } from "./step.ts";

export function TestsStep({ booking, change }: StepProps) {
  const open = openPoints(booking);
  const cannotRest = (why: string): void => change({ tests: answered(booking, open, { result: "cannot", why }) });
  const dead = (): void =>
    change({ tests: answered(booking, INTAKE_POINTS, { result: "cannot", why: becauseWord.dead }) });
  const doneWord = `${INTAKE_POINTS.length - open.length} of ${INTAKE_POINTS.length} answered`;
  return (
    <>
      <p class="soft" role="status">
        {doneWord}
        {booking.lock === "locked" && ", tested locked"}
      </p>
      {booking.lock === "locked" && <Locked booking={booking} change={change} />}
      <Lacking booking={booking} change={change} />
      {open.length === INTAKE_POINTS.length && (
        <Button onPress={dead}>
          <Shape name="stop" />
          It does not start: nothing can be tested
        </Button>
      )}
      <ul class="rows">
        {INTAKE_GROUPS.map((group) => (
          <li key={group.id}>
            <Group {...group} booking={booking} change={change} />
          </li>
        ))}
      </ul>
      {open.length > 0 && open.length < INTAKE_POINTS.length && (
        <section class="stack" aria-label="The rest">
          <h2>The other {open.length} cannot be tested, because</h2>
          <div class="choices across">
            {CANNOT_WHY.map((why) => (
              <Button key={why} onPress={() => cannotRest(why)}>
                {why}
              </Button>
            ))}
          </div>
        </section>
      )}
    </>
  );
}

function Locked({ booking, change }: Pick<StepProps, "booking" | "change">) {
  const barred = barredPoints(booking);
  return (
    <Notice tone="warn" title={`${lockedWords.name}: as far as it goes`}>
      <p>{lockedWords.caution}</p>
      {barred.length > 0 && (
        <>
          <p>
            {barred.length} points cannot be tested at all: {barred.map((p) => testPoints[p]?.name ?? p).join(", ")}.
          </p>
          <Button onPress={() => change({ tests: answeredLocked(booking) })}>
            Enter these {barred.length}: {lower(lockedReason)}
          </Button>
        </>
      )}
    </Notice>
  );
}

/** What earlier devices of this model had none of: one press. */
function Lacking({ booking, change }: Pick<StepProps, "booking" | "change">) {
  const lacking = lackingPoints(booking);
  if (lacking.length === 0) return null;
  return (
    <section class="stack" aria-label={lackingWhy}>
      <Button onPress={() => change({ tests: answered(booking, lacking, { result: "cannot", why: lackingWhy }) })}>
        Enter these {lacking.length}: {lower(lackingWhy)}
      </Button>
      <p class="soft">
        As of the last {booking.model} here: {pointNames(lacking)}.
      </p>
    </section>
  );
}

type GroupProps = StepProps & (typeof INTAKE_GROUPS)[number];

function Group({ name, points, booking, change }: GroupProps) {
  const [wide, setWide] = useState(false);
  const id = useId();
  const open = points.filter((p) => booking.lock !== "locked" || !isBarred(p));
  const testable = open.filter((p) => isExpected(booking, p));
  const lacking = lackingPoints(booking);
  const others = open.filter((p) => !testable.includes(p) && !lacking.includes(p) && booking.tests[p] === undefined);
  const allWork = (): void => {
    change({ tests: answered(booking, testable, { result: "pass", why: "" }) });
    setWide(false);
  };
  return (
    <section class="stack" aria-labelledby={id}>
      <div class="row apart">
        <h2 id={id}>{name}</h2>
        <GroupState points={points} tests={booking.tests} />
      </div>
      <div class="book-pair">
        {testable.length > 0 && (
          <button type="button" class="button" onClick={allWork} aria-describedby={id}>
            {workWord(testable.length, open.length === points.length)}
          </button>
        )}
        <button type="button" class="button" onClick={() => setWide(!wide)} aria-expanded={wide} aria-describedby={id}>
          {wide ? "Fold up" : "One by one"}
        </button>
      </div>
      {others.length > 0 && !wide && <p class="soft small">Only some models have: {pointNames(others)}</p>}
      {wide && points.map((point) => <Point key={point} point={point} booking={booking} change={change} />)}
    </section>
  );
}

/** A locked device leaves points out that are not for this press. */
function workWord(testable: number, all: boolean): string {
  if (!all) return testable === 1 ? "The other one works" : `The other ${testable} work`;
  return testable === 1 ? "It works" : `All ${testable} work`;
}

function GroupState({
  points,
  tests,
}: {
  readonly points: readonly string[];
  readonly tests: Readonly<Record<string, DraftReading>>;
}) {
  const count = (result: TestResult): number => points.filter((p) => tests[p]?.result === result).length;
  const [works, fails, cannot] = [count("pass"), count("fail"), count("cannot")];
  if (works + fails + cannot === 0) return <Word shape="open" tone="" text="Open" />;
  if (works === points.length) return <Word shape="done" tone="good" text="All work" />;
  const open = points.length - works - fails - cannot;
  const parts = [
    fails > 0 ? `${fails} ${fails === 1 ? "fails" : "fail"}` : "",
    cannot > 0 ? `${cannot} not testable` : "",
    open > 0 ? `${open} open` : "",
  ].filter((part) => part !== "");
  return (
    <Word
      shape={fails > 0 ? "stop" : open > 0 ? "now" : "warn"}
      tone={fails > 0 ? "stop" : open > 0 ? "now" : "warn"}
      text={parts.join(", ")}
    />
  );
}

function Word({
  shape,
  tone,
  text,
}: {
  readonly shape: "open" | "done" | "stop" | "now" | "warn";
  readonly tone: string;
  readonly text: string;
}) {
  return (
    <span class={`mark ${tone}`}>
      <Shape name={shape} /> {text}
    </span>
  );
}

const ANSWERS: readonly (readonly [TestResult, string])[] = [
  ["pass", "Works"],
  ["fail", "Fails"],
  ["cannot", "No test"],
];

function Point({ point, booking, change }: StepProps & { readonly point: string }) {
  const name = useId();
  const row = testPoints[point];
  const reading = booking.tests[point];
  const locked = booking.lock === "locked";
  const silent = locked && isBarred(point) ? lockedWhy(point) : "";
  const set = (result: TestResult, why: string): void => change({ tests: answered(booking, [point], { result, why }) });
  return (
    <fieldset class="field">
      <legend>{row?.name ?? point}</legend>
      <span class="hint">{howToTest(point, locked)}</span>
      <div class="book-three">
        {ANSWERS.map(([result, word]) => (
          <label class="choice" key={result}>
            <input
              type="radio"
              name={name}
              checked={reading?.result === result}
              onChange={() => set(result, result === "cannot" ? reading?.why || silent : "")}
            />
            <span>{word}</span>
          </label>
        ))}
      </div>
      {reading?.result === "cannot" && (
        <Why
          reading={reading}
          ready={locked ? [lockedWhy(point), ...CANNOT_WHY] : CANNOT_WHY}
          onWhy={(why) => set("cannot", why)}
        />
      )}
    </fieldset>
  );
}

type WhyProps = {
  readonly reading: DraftReading;
  /** Reasons ready to press. */
  readonly ready: readonly string[];
  readonly onWhy: (why: string) => void;
};

function Why({ reading, ready, onWhy }: WhyProps) {
  return (
    <div class="stack">
      <div class="chips">
        {ready.map((why) => (
          <button type="button" class="button" key={why} onClick={() => onWhy(why)} aria-pressed={reading.why === why}>
            {why}
          </button>
        ))}
      </div>
      <TextField label="Because" value={reading.why} onInput={onWhy} maxLength={200} />
    </div>
  );
}
