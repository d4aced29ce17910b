/** Another promised time, with its reason, and perhaps another price limit. */
import { useState } from "preact/hooks";
import { promise } from "../../actions/tell.ts";
import { limitMinor } from "../../facts/booking.ts";
import type { Job } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { dayTime, groupCode } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { PromiseChoice } from "../parts/PromiseChoice.tsx";
import { jobPriceWords } from "../parts/priceWords.ts";
import { go } from "../route.ts";

const REASONS = [
  "The part is not here yet",
  "More is broken than thought",
  "We are behind",
  "The customer wants another time",
] as const;

export function NewPromise({ code, job }: { readonly code: string; readonly job: Job }) {
  const [at, setAt] = useState<number | null>(null);
  const [why, setWhy] = useState("");
  const [limit, setLimit] = useState("");
  const [missing, setMissing] = useState<string | null>(null);
  const { problem, run } = useAct();
  useHeadingFocus("promise");
  const write = async (): Promise<void> => {
    const amount = limitMinor(limit);
    if (at === null) return setMissing("Choose the new time.");
    if (why.trim() === "") return setMissing("Say why, so that everybody can explain it.");
    if (limit.trim() !== "" && amount === null)
      return setMissing("Write the limit as an amount, such as 80 or 79.50, or leave it empty.");
    if (await run(() => promise(code, at, why, amount))) go(`job/${code}`, "replace");
  };
  return (
    <>
      <Page title="New promise" above={`${job.model}, job ${groupCode(code)}`}>
        {job.promised_at_ms !== null && <p class="big">So far: {dayTime(job.promised_at_ms)}.</p>}
        <PromiseChoice at_ms={at} onChoose={setAt} />
        <section class="stack" aria-label="Why">
          <h2>Why</h2>
          <div class="chips">
            {REASONS.map((reason) => (
              <button
                type="button"
                class="button"
                key={reason}
                aria-pressed={why === reason}
                onClick={() => setWhy(reason)}
              >
                {reason}
              </button>
            ))}
          </div>
          <TextField label="In a few words" value={why} onInput={setWhy} maxLength={200} />
        </section>
        <TextField
          label="New price limit, if the customer agreed to one"
          inputMode="decimal"
          value={limit}
          onInput={setLimit}
          hint={`So far: ${jobPriceWords(job)}.`}
          maxLength={10}
        />
        {missing !== null && <Notice tone="warn" title={missing} answers={missing} />}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Back
        </Button>
        <Button onPress={write} tone="main">
          Promise it
        </Button>
      </Dock>
    </>
  );
}
