/** Open jobs, late ones first; a press opens one. */
import "../../style/queue.css";
import { useState } from "preact/hooks";
import { nowMs } from "../../device/clock.ts";
import { isLead, staffName } from "../../facts/people.ts";
import { type StageId, stages } from "../../tables.ts";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { blocker, type Open, openJobs, repairWords } from "../../views/queue.ts";
import { dayTime, fromNow, groupCode } from "../../words/format.ts";
import { CameBack } from "../parts/CameBack.tsx";
import { LookAtLine } from "../parts/LookAtLine.tsx";
import { SafePlaceLine } from "../parts/SafePlaceLine.tsx";
import { StageMark } from "../parts/StageMark.tsx";

/** Rows drawn at once; a shop with thousands of open jobs must not wait for all of them. */
const PAGE = 50;
const FILTERS: readonly StageId[] = ["booked", "bench", "stopped", "ready"];

export function Queue() {
  const [stage, setStage] = useState<StageId | null>(null);
  const [most, setMost] = useState(PAGE);
  const now = nowMs();
  const jobs = openJobs(now, stage);
  const late = jobs.filter((j) => j.late).length;
  const choose = (next: StageId | null): void => {
    setStage(next);
    setMost(PAGE);
  };
  return (
    <Page title="Queue" above={`${jobs.length} open, ${late} late`} wide>
      <CameBack />
      {isLead() && <SafePlaceLine />}
      {isLead() && <LookAtLine />}
      <fieldset class="queue-filter">
        <legend class="small soft">Show</legend>
        <Filter name="All" on={stage === null} onPress={() => choose(null)} />
        {FILTERS.map((s) => (
          <Filter key={s} name={stages[s].name} on={stage === s} onPress={() => choose(s)} />
        ))}
      </fieldset>
      {jobs.length === 0 ? (
        <p class="big">No job is open here.</p>
      ) : (
        <ul class="queue-list">
          {jobs.slice(0, most).map((open) => (
            <li key={open.code}>
              <Row {...open} now={now} />
            </li>
          ))}
        </ul>
      )}
      {jobs.length > most && (
        <button type="button" class="button" onClick={() => setMost(most + PAGE)}>
          Show more: {jobs.length - most} follow
        </button>
      )}
    </Page>
  );
}

function Filter({ name, on, onPress }: { readonly name: string; readonly on: boolean; readonly onPress: () => void }) {
  return (
    <button type="button" class="button" aria-pressed={on} onClick={onPress}>
      {name}
    </button>
  );
}

function Row({ code, job, late, now }: Open & { readonly now: number }) {
  const coming = job.stage === "booked" || job.stage === "bench";
  return (
    <a class="card link queue-row" href={`#/job/${code}`}>
      <span class="queue-row-head">
        <strong>{job.model}</strong>
        <span class="code small">{groupCode(code)}</span>
      </span>
      <span class="soft">{repairWords(job)}</span>
      {late && (
        <span class="mark stop">
          <Shape name="warn" /> {fromNow(job.promised_at_ms ?? 0, now)}
        </span>
      )}
      <StageMark job={job} short={job.stage === "stopped"} />
      <span>
        {blocker(job)}
        {job.stage === "bench" && job.bench_staff !== null && `, ${staffName(job.bench_staff)}`}
      </span>
      {coming && job.promised_at_ms !== null && (
        <span class="soft small queue-due">
          <span>Promised {dayTime(job.promised_at_ms)}</span>
          {!late && <span>{fromNow(job.promised_at_ms, now)}</span>}
        </span>
      )}
    </a>
  );
}
