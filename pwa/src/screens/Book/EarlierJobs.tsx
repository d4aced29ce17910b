/** Jobs that this device had here: an open one first of all, and those that may come back. */

import { nowMs } from "../../device/clock.ts";
import { type Booking, jobsOf, mayBeComeback } from "../../facts/booking.ts";
import { shop } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import type { Job } from "../../fold/state.ts";
import { stages } from "../../tables.ts";
import { Shape } from "../../ui/Shape.tsx";
import { dayTime } from "../../words/format.ts";

export function EarlierJobs({ booking }: { readonly booking: Booking }) {
  const jobs = jobsOf(booking);
  if (jobs.length === 0) return null;
  return (
    <section class="stack" aria-label="Jobs of this device">
      <h2>Jobs of this device</h2>
      <ul class="stack">
        {jobs.map(([code, job]) => (
          <li key={code}>
            <a class="card link" href={`#/job/${code}`}>
              <Standing job={job} />
              <span class="big">{said(job.complaint)}</span>
              <span class="soft">
                Booked in {dayTime(job.booked_at_ms ?? 0)}
                {job.handed_over !== null && `, handed over ${dayTime(job.handed_over)}`}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Standing({ job }: { readonly job: Job }) {
  if (job.stage !== "handed_over") {
    return (
      <span class="mark warn">
        <Shape name="warn" /> Open job: {stages[job.stage].name}
      </span>
    );
  }
  if (mayBeComeback(job, nowMs(), shop().warranty_days)) {
    return (
      <span class="mark now">
        <Shape name="now" /> Possible comeback, within the warranty
      </span>
    );
  }
  return (
    <span class="mark">
      <Shape name="done" /> Earlier job
    </span>
  );
}
