/** The promised time: a few that are promised most, or any other. */
import { useMemo, useState } from "preact/hooks";
import { nowMs } from "../../device/clock.ts";
import { Choice, TextField, TwoLines } from "../../ui/fields.tsx";
import { fromField, quickPromises, toField } from "../../views/promises.ts";
import { dayTime } from "../../words/format.ts";

type Props = { readonly at_ms: number | null; readonly onChoose: (at_ms: number | null) => void };

export function PromiseChoice({ at_ms, onChoose }: Props) {
  // Drawn up once, so that the choices do not move while they are read.
  const quick = useMemo(() => quickPromises(nowMs()), []);
  const [other, setOther] = useState(at_ms !== null && !quick.some((q) => q.at_ms === at_ms));
  const options = [
    ...quick.map((q) => ({ value: String(q.at_ms), name: <TwoLines name={q.name} detail={dayTime(q.at_ms)} /> })),
    { value: "other", name: "Another time" },
  ];
  const choose = (value: string): void => {
    setOther(value === "other");
    if (value !== "other") onChoose(Number(value));
  };
  return (
    <>
      <Choice
        label="Promised for"
        options={options}
        value={other ? "other" : at_ms === null ? null : String(at_ms)}
        onChoose={choose}
      />
      {other && (
        <TextField
          label="Day and time"
          type="datetime-local"
          value={at_ms === null ? "" : toField(at_ms)}
          onInput={(text) => onChoose(fromField(text))}
        />
      )}
      {at_ms !== null && at_ms < nowMs() && <p class="soft">This time is past.</p>}
    </>
  );
}
