/** The static check of the day: open in plain sight until it was made, and what to do when it fails. It never blocks. */
import { useState } from "preact/hooks";
import { checkStrap } from "../../actions/benchStrap.ts";
import { nowMs } from "../../device/clock.ts";
import type { Problem } from "../../problem.ts";
import { type OhmUnit, STRAP_LIMIT_OHMS } from "../../rules/strap.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { ohmText, strapToday } from "../../views/strap.ts";

const UNITS: readonly { readonly value: OhmUnit; readonly name: string }[] = [
  { value: "k", name: "k ohm" },
  { value: "M", name: "M ohm" },
];

export function StrapCheck() {
  const [entering, setEntering] = useState(false);
  const [measured, setMeasured] = useState("");
  const [unit, setUnit] = useState<OhmUnit>("M");
  const [problem, setProblem] = useState<Problem | null>(null);
  const today = strapToday(startOfToday());
  if (today.kind === "passed") return null;
  const enter = async (): Promise<void> => {
    const written = await checkStrap(measured, unit);
    if (!written.ok) return setProblem(written.problem);
    setProblem(null);
    setEntering(false);
    setMeasured("");
  };
  const failed = today.kind === "failed";
  return (
    <Notice
      tone="warn"
      title={failed ? `Static check failed: ${ohmText(today.ohms)}` : "Static check of today is open"}
    >
      {failed && (
        <p>Moisten or tighten the strap, try another cord, then measure again. Until it passes touch no board.</p>
      )}
      {entering ? (
        <div class="stack">
          <TextField
            label="Wrist strap, measured"
            value={measured}
            onInput={setMeasured}
            inputMode="decimal"
            maxLength={12}
          />
          <Choice label="Unit" options={UNITS} value={unit} onChoose={setUnit} across />
          <p class="small">
            Must be below {ohmText(STRAP_LIMIT_OHMS)} (ANSI/ESD S20.20, IEC 61340-5-1; from secondary sources).
          </p>
          {problem !== null && <Refusal problem={problem} />}
          <Button onPress={() => void enter()}>Enter the reading</Button>
        </div>
      ) : (
        <Button onPress={() => setEntering(true)}>{failed ? "Measure again" : "Enter the reading"}</Button>
      )}
    </Notice>
  );
}

function startOfToday(): number {
  const day = new Date(nowMs());
  day.setHours(0, 0, 0, 0);
  return day.getTime();
}
