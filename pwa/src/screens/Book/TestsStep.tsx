/** The intake test sheet: a press a group where all works, point by point where it does not. */
import { useId, useState } from "preact/hooks";
import type { TestResult } from "../../fold/state.ts";
import { testPoints } from "../../tables.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Shape } from "../../ui/Shape.tsx";
import {
  answered,
  CANNOT_WHY,
  type DraftReading,
  INTAKE_GROUPS,
  INTAKE_POINTS,
  openPoints,
} from "../../views/booking.ts";
import type { StepProps } from "./step.ts";

export function TestsStep({ booking, change }: StepProps) {
  const open = openPoints(booking);
  const cannotRest = (why: string): void => change({ tests: answered(booking, open, { result: "cannot", why }) });
  const dead = (): void =>
    change({ tests: answered(booking, INTAKE_POINTS, { result: "cannot", why: CANNOT_WHY[0] }) });
  const doneWord = `${INTAKE_POINTS.length - open.length} of ${INTAKE_POINTS.length} answered`;
  return (
    <>
      <p class="soft" role="status">
        {doneWord}
        {booking.lock === "locked" && ", tested locked"}
      </p>
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

type GroupProps = StepProps & (typeof INTAKE_GROUPS)[number];

function Group({ name, points, booking, change }: GroupProps) {
  const [wide, setWide] = useState(false);
  const id = useId();
  const allWork = (): void => {
    change({ tests: answered(booking, points, { result: "pass", why: "" }) });
    setWide(false);
  };
  return (
    <section class="stack" aria-labelledby={id}>
      <div class="row apart">
        <h2 id={id}>{name}</h2>
        <GroupState points={points} tests={booking.tests} />
      </div>
      <div class="counter-pair">
        <button type="button" class="button" onClick={allWork} aria-describedby={id}>
          {points.length === 1 ? "It works" : `All ${points.length} work`}
        </button>
        <button type="button" class="button" onClick={() => setWide(!wide)} aria-expanded={wide} aria-describedby={id}>
          {wide ? "Fold up" : "One by one"}
        </button>
      </div>
      {wide && points.map((point) => <Point key={point} point={point} booking={booking} change={change} />)}
    </section>
  );
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
  const set = (result: TestResult, why: string): void => change({ tests: answered(booking, [point], { result, why }) });
  return (
    <fieldset class="field">
      <legend>{row?.name ?? point}</legend>
      <span class="hint">{row?.how}</span>
      <div class="counter-three">
        {ANSWERS.map(([result, word]) => (
          <label class="choice" key={result}>
            <input
              type="radio"
              name={name}
              checked={reading?.result === result}
              onChange={() => set(result, result === "cannot" ? (reading?.why ?? "") : "")}
            />
            <span>{word}</span>
          </label>
        ))}
      </div>
      {reading?.result === "cannot" && <Why reading={reading} onWhy={(why) => set("cannot", why)} />}
    </fieldset>
  );
}

function Why({ reading, onWhy }: { readonly reading: DraftReading; readonly onWhy: (why: string) => void }) {
  return (
    <div class="stack">
      <div class="counter-chips">
        {CANNOT_WHY.map((why) => (
          <button type="button" class="button" key={why} onClick={() => onWhy(why)} aria-pressed={reading.why === why}>
            {why}
          </button>
        ))}
      </div>
      <TextField label="Because" value={reading.why} onInput={onWhy} maxLength={200} />
    </div>
  );
}
