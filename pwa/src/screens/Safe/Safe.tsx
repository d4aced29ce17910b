/** The safe place: what lies there, for how long and whose it is, and what belongs there and is somewhere else. */
import { bringToSafe } from "../../actions/safePlace.ts";
import { nowMs } from "../../device/clock.ts";
import { placeOfCode } from "../../facts/things.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { emergencyCard } from "../../views/emergency.ts";
import { KIND_WORDS, thingName } from "../../views/history.ts";
import { ageWords, belongInSafePlace, cellWords, inSafePlace, type Kept, whoseJob } from "../../views/safePlace.ts";
import { placeWords } from "../../views/trace.ts";
import { dayTime, groupCode } from "../../words/format.ts";
import { ClashLink } from "../parts/ClashList.tsx";
import { go } from "../route.ts";
import { Collect } from "./Collect.tsx";

export function Safe({ part }: { readonly part: string | null }) {
  return part === "collect" ? <Collect /> : <SafePlace />;
}

function SafePlace() {
  const kept = inSafePlace();
  const { place } = emergencyCard();
  return (
    <>
      <Page title="Safe place" place>
        <p class="soft">{place === "" ? "Where it is, a lead writes in the settings." : place}</p>
        <Elsewhere />
        {kept.length === 0 ? (
          <p class="big">Nothing lies here.</p>
        ) : (
          <section class="stack" aria-labelledby="safe-here">
            <h2 id="safe-here">Here, the longest first</h2>
            <ul class="rows">
              {kept.map((one) => (
                <li key={one.code} class="with-button">
                  <KeptLine kept={one} />
                  {one.clash && <ClashLink code={one.code} />}
                </li>
              ))}
            </ul>
          </section>
        )}
        <p class="soft">
          Nothing goes from here to the shelf or into the bin. A collector takes it, with paper, as local rules and a
          licensed shipper decide.
        </p>
      </Page>
      {kept.length > 0 && (
        <Dock>
          <Button onPress={() => go("safe/collect")} tone="main">
            A collector takes something
          </Button>
        </Dock>
      )}
    </>
  );
}

/** What a thing in the safe place is, in what state, since when and whose. */
function KeptLine({ kept }: { readonly kept: Kept }) {
  const whose = whoseJob(kept.thing);
  return (
    <a href={`#/trace/${kept.code}`} class="piece">
      <strong>{kept.thing.name ?? KIND_WORDS[kept.code.charAt(0)]}</strong>
      <span>{cellWords(kept.code)}</span>
      <span class="small">
        Here for {ageWords(kept, nowMs())}, since {dayTime(kept.since_ms)}
      </span>
      <span class="soft small">
        {KIND_WORDS[kept.code.charAt(0)]} <span class="code">{groupCode(kept.code)}</span>
        {whose !== null && `. ${whose}`}
      </span>
    </a>
  );
}

/** Unsafe things whose record says another place: carried here, one press says so. */
function Elsewhere() {
  const { problem, run } = useAct();
  const codes = belongInSafePlace();
  if (codes.length === 0 && problem === null) return null;
  const bring = (code: string) => run(() => bringToSafe(code));
  return (
    <Notice tone="warn" title="These belong here and are somewhere else">
      <ul class="rows">
        {codes.map((code) => {
          const place = placeOfCode(code);
          return (
            <li key={code} class="with-button">
              <span>
                {thingName(code)}: {cellWords(code).toLowerCase()}.{" "}
                {place.kind === "at" && `${placeWords(place.to)} by the record.`}
              </span>
              <Button onPress={() => bring(code)}>
                It lies here now<span class="unseen">: {thingName(code)}</span>
              </Button>
            </li>
          );
        })}
      </ul>
      {problem !== null && <Refusal problem={problem} />}
    </Notice>
  );
}
