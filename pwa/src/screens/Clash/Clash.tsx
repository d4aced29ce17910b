/** Two records about one thing, side by side, and the person who looked says which is true (F6.3). Also corrects a place that is simply wrong. */
import { useState } from "preact/hooks";
import "../../style/shipping.css";
import { settlePlace } from "../../actions/clash.ts";
import { parseCode } from "../../codes/codes.ts";
import { state } from "../../current.ts";
import type { Problem } from "../../problem.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { thingName } from "../../views/history.ts";
import { placeOfCode } from "../../views/things.ts";
import { type NamedPlace, PLACES, placeWords, readTrace } from "../../views/trace.ts";
import { go } from "../route.ts";
import { Records } from "./Records.tsx";

export function Clash({ code: given }: { readonly code: string }) {
  const parsed = parseCode(given);
  const code = parsed.ok ? parsed.value.code : given;
  const [to, setTo] = useState<string | null>(null);
  const [why, setWhy] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const trace = useLoaded(() => readTrace(code), [code, state.value]);
  const thing = state.value.thing.get(code);
  if (thing === undefined) {
    return (
      <Page title="Nothing known">
        <Refusal problem={parsed.ok ? { slug: "code-unknown" } : parsed.problem} />
      </Page>
    );
  }
  const place = placeOfCode(code);
  const said = place.kind === "clash" ? place.places : place.kind === "at" ? [place.to] : [];
  const others = (Object.keys(PLACES) as NamedPlace[]).filter((p) => !said.includes(p));
  const options = [...said, ...others].map((value) => ({ value, name: placeWords(value) }));
  const settle = async (): Promise<void> => {
    const settled = await settlePlace(code, to, why);
    if (!settled.ok) return setProblem(settled.problem);
    go(`trace/${code}`, "replace");
  };
  return (
    <>
      <Page title={place.kind === "clash" ? "Where is it really?" : "Correct where it is"} above={thingName(code)} wide>
        {place.kind === "clash" && (
          <p class="big">Two records cannot both be true. Look where it really is, then say so here.</p>
        )}
        <Records heads={thing.heads} lines={trace?.lines ?? []} />
        <div class="ship-narrow stack">
          <Choice label="I looked. It is" options={options} value={to} onChoose={setTo} />
          <p class="soft">In another box? Choose the shipping desk, then scan it into that box.</p>
          <TextField
            label="How I know"
            value={why}
            onInput={setWhy}
            maxLength={200}
            hint="Such as: opened the box and counted."
          />
          {problem !== null && <Refusal problem={problem} />}
        </div>
      </Page>
      <Dock>
        <Button onPress={() => void settle()} tone="main">
          This is where it is
        </Button>
      </Dock>
    </>
  );
}
