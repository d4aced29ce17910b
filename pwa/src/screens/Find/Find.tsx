/** A job by what people say of it. What is here is found as one types; what was put away is asked for. */
import { useState } from "preact/hooks";
import { findPutAway } from "../../actions/archive.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { type Found, findJobs } from "../../views/find.ts";
import { dayTime, groupCode } from "../../words/format.ts";
import { StageMark } from "../parts/StageMark.tsx";

export function Find() {
  const [words, setWords] = useState("");
  /** For which words the server has answered, and how many jobs it found. */
  const [answered, setAnswered] = useState<{ readonly words: string; readonly count: number } | null>(null);
  const { problem, busy, run, setProblem } = useAct();
  const found = findJobs(words);
  const type = (text: string): void => {
    setWords(text);
    setProblem(null);
  };
  const ask = () =>
    run(
      () => findPutAway(words),
      (jobs) => setAnswered({ words, count: jobs.length }),
    );
  const isAnswered = answered?.words === words;
  return (
    <>
      <Page title="Find a job" place>
        <TextField label="Name, telephone, number, model or code" value={words} onInput={type} maxLength={80} />
        {problem !== null && <Refusal problem={problem} />}
        {words.trim() !== "" && found.length === 0 && (
          <p class="big">{isAnswered ? "Neither here nor put away." : "Nothing here. Older jobs are on the server."}</p>
        )}
        <ul class="stack">
          {found.map((one) => (
            <li key={one.code}>
              <Row {...one} />
            </li>
          ))}
        </ul>
        {isAnswered && found.length > 0 && answered.count === 0 && <p class="soft">None that was put away.</p>}
      </Page>
      <Dock>
        <Button onPress={ask} tone="main" disabled={busy || words.trim() === "" || isAnswered}>
          Search what was put away
        </Button>
      </Dock>
    </>
  );
}

function Row({ code, job, name, isPutAway }: Found) {
  return (
    <a class="card link" href={`#/job/${code}`}>
      {isPutAway ? <span class="mark">Put away</span> : <StageMark job={job} />}
      <span class="big">
        {job.model}
        {name !== "" && `, ${name}`}
      </span>
      <span class="soft">
        {groupCode(code)}, booked in {dayTime(job.booked_at_ms ?? 0)}
      </span>
    </a>
  );
}
