/** Two records about one thing, side by side, and the person who looked says which is true (F6.3). Also corrects a place that is simply wrong. */
import { useState } from "preact/hooks";
import { settlePlace } from "../../actions/clash.ts";
import { parseCode } from "../../codes/codes.ts";
import { state } from "../../current.ts";
import { lyingFacts } from "../../facts/safePlace.ts";
import { placeOfCode } from "../../facts/things.ts";
import { mayLieAt } from "../../rules/safePlace.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { thingName } from "../../views/history.ts";
import { placeWords, readTrace } from "../../views/trace.ts";
import { type NamedPlace, PLACES } from "../../words/places.ts";
import { go } from "../route.ts";
import { Records } from "./Records.tsx";

/** Not a place, so it can never be written by mistake. */
const ELSEWHERE = "elsewhere";

export function Clash({ code: given }: { readonly code: string }) {
  const parsed = parseCode(given);
  const code = parsed.ok ? parsed.value.code : given;
  const [to, setTo] = useState<string | null>(null);
  const [isElse, setElse] = useState(false);
  const [why, setWhy] = useState("");
  const { problem, run } = useAct();
  const lines = useLoaded(() => readTrace(code), [code, state.value]);
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
  const others = (Object.keys(PLACES) as NamedPlace[]).filter(
    (p) => !said.includes(p) && mayLieAt(lyingFacts(code), p) === null,
  );
  const isClash = place.kind === "clash";
  const offered = isClash ? [...said.map(option), { value: ELSEWHERE, name: "Somewhere else" }] : others.map(option);
  const choose = (value: string): void => {
    setElse(value === ELSEWHERE);
    setTo(value === ELSEWHERE ? null : value);
  };
  const settle = () =>
    run(
      () => settlePlace(code, to, why),
      () => go(`trace/${code}`, "replace"),
    );
  return (
    <>
      <Page title={place.kind === "clash" ? "Where is it really?" : "Correct where it is"} above={thingName(code)}>
        {place.kind === "clash" && (
          <p class="big">Two records cannot both be true. Look where it really is, then say so here.</p>
        )}
        <Records heads={thing.heads} lines={lines.value ?? []} />
        {lines.problem !== null && <Refusal problem={lines.problem} />}
        <Choice
          label="I looked. It is"
          options={offered}
          value={isClash && isElse ? ELSEWHERE : to}
          onChoose={choose}
        />
        {isClash && isElse && <Choice label="Where" options={others.map(option)} value={to} onChoose={setTo} />}
        {(isElse || !isClash) && (
          <p class="soft">In another box? Choose the shipping desk, then scan it into that box.</p>
        )}
        <TextField
          label="How I know"
          value={why}
          onInput={setWhy}
          maxLength={200}
          hint="Such as: opened the box and counted."
        />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={settle} tone="main">
          This is where it is
        </Button>
      </Dock>
    </>
  );
}

const option = (value: string) => ({ value, name: placeWords(value) });
