/** The static checks that are due: open in plain sight until they were made, and what to do when one fails. They never block. */
import { useState } from "preact/hooks";
import { checkStatic } from "../../actions/staticCheck.ts";
import { nowMs } from "../../device/clock.ts";
import { esdChecks, type Item, type OhmUnit } from "../../rules/esd.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { ohmText, type Standing, standing } from "../../views/staticChecks.ts";

const UNITS: readonly { readonly value: OhmUnit; readonly name: string }[] = [
  { value: "k", name: "k ohm" },
  { value: "M", name: "M ohm" },
];

type Words = {
  readonly open: string;
  readonly failed: string;
  /** A reading under what is advised is told until a better one is entered; without words it is only on the record. */
  readonly low?: { readonly title: string; readonly help: string };
  readonly field: string;
  readonly enter: string;
  readonly help: string;
};
const WORDS: Readonly<Record<Item, Words>> = {
  wrist_strap: {
    open: "Static check of the wrist strap is due",
    failed: "Wrist strap failed its static check",
    field: "Wrist strap, measured",
    enter: "Enter the reading",
    low: {
      title: "Wrist strap reads too low",
      help: "Its safety resistor may be shorted, and then nothing holds a shock back from you. Take this cord out of use, take another one, then measure again.",
    },
    help: "Moisten or tighten the strap, try another cord, then measure again. Until it passes touch no board.",
  },
  mat: {
    open: "Static check of this bench's mat is due",
    failed: "Bench mat failed its static check",
    field: "Mat to ground, measured",
    enter: "Enter the mat's reading",
    help: "Clean the mat, press its ground snap home, try another cord, then measure again. Until it passes work on another bench.",
  },
};

/** One at a time: the strap first. */
export function StaticChecks() {
  const due = (["wrist_strap", "mat"] as const).find((item) => {
    const { kind } = standing(item, nowMs());
    return kind === "low" ? WORDS[item].low !== undefined : kind !== "passed";
  });
  return due === undefined ? null : <StaticCheck item={due} key={due} />;
}

function StaticCheck({ item }: { readonly item: Item }) {
  const [entering, setEntering] = useState(false);
  const [measured, setMeasured] = useState("");
  const [unit, setUnit] = useState<OhmUnit>("M");
  const { problem, run } = useAct();
  const now = standing(item, nowMs());
  const words = WORDS[item];
  const enter = async (): Promise<void> => {
    if (!(await run(() => checkStatic(item, measured, unit)))) return;
    setEntering(false);
    setMeasured("");
  };
  const told = toldOf(now, words);
  return (
    <Notice tone="warn" title={told === null ? words.open : told.title}>
      {told !== null && <p>{told.help}</p>}
      {entering ? (
        <div class="stack">
          <TextField label={words.field} value={measured} onInput={setMeasured} inputMode="decimal" maxLength={12} />
          <Choice label="Unit" options={UNITS} value={unit} onChoose={setUnit} across />
          <Limits item={item} />
          {problem !== null && <Refusal problem={problem} />}
          <Button onPress={enter}>{words.enter}</Button>
        </div>
      ) : (
        <Button onPress={() => setEntering(true)}>{told === null ? words.enter : "Measure again"}</Button>
      )}
    </Notice>
  );
}

/** What a reading that does not do is told with; null where none was made. */
function toldOf(now: Standing, words: Words): { readonly title: string; readonly help: string } | null {
  if (now.kind === "failed") return { title: `${words.failed}: ${ohmText(now.ohms)}`, help: words.help };
  if (now.kind !== "low" || words.low === undefined) return null;
  return { title: `${words.low.title}: ${ohmText(now.ohms)}`, help: words.low.help };
}

function Limits({ item }: { readonly item: Item }) {
  const { below_ohms, source, advised_from_ohms, advised_source } = esdChecks[item];
  return (
    <>
      <p class="small">
        Must be below {ohmText(below_ohms)} ({source}).
      </p>
      {advised_from_ohms !== undefined && (
        <p class="small">
          {ohmText(advised_from_ohms)} or more is advised ({advised_source}).
        </p>
      )}
    </>
  );
}
