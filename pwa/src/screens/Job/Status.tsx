/** A job's status in one glance, and what the customer is owed next. */

import { place } from "../../actions/book.ts";
import { nowMs } from "../../device/clock.ts";
import { contactCard, isLead, staffName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import { placeOfCode } from "../../facts/things.ts";
import type { Job } from "../../fold/state.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { handOverBy, mayBeLifted, mayHandOver } from "../../rules/handOver.ts";
import { isLocked } from "../../rules/locked.ts";
import { notShown } from "../../rules/tests.ts";
import { lockedWords } from "../../tables/testPoints.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { telAddress } from "../../views/message.ts";
import { isLate } from "../../views/queue.ts";
import { type Owed, owed } from "../../views/status.ts";
import { whereIs } from "../../views/trace.ts";
import { dayTime, fromNow, groupCode, lower } from "../../words/format.ts";
import { stopName } from "../../words/told.ts";
import { ClashNotice } from "../parts/ClashList.tsx";
import { Compare } from "../parts/Compare.tsx";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { IncidentList } from "../parts/IncidentList.tsx";
import { LockChange } from "../parts/LockChange.tsx";
import { jobPriceWords } from "../parts/priceWords.ts";
import { deviceLabel, ticketLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { StageMark } from "../parts/StageMark.tsx";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";
import { Found } from "./Found.tsx";
import { History } from "./History.tsx";

type Props = { readonly code: string; readonly job: Job };

export function Status({ code, job }: Props) {
  useHeadingFocus(code);
  const next = owed(job, nowMs());
  return (
    <>
      <Page title={job.model ?? "Job"} above={`Job ${groupCode(code)}`} wide>
        <div class="job-lead">
          <p class="big">
            <StageMark job={job} size={34} />
          </p>
          <p class="job-owed">
            <span class="soft">Owed to the customer</span>
            <strong>{next.say}</strong>
          </p>
        </div>
        <Unsafe job={job} />
        <IncidentList code={code} job={job} />
        {job.device !== null && <ClashNotice code={job.device} />}
        <div class="two">
          <div class="stack">
            <Glance code={code} job={job} />
            {job.stage !== "handed_over" && <LockChange code={code} job={job} />}
            <Ways code={code} job={job} next={next} />
          </div>
          <div class="stack">
            <h2>What was found</h2>
            <Found job={job} />
            <h2>Tests</h2>
            <Compare job={job} />
          </div>
        </div>
        <History code={code} job={job} />
      </Page>
      <NextDock code={code} next={next} />
    </>
  );
}

/** What is not done to an unsafe or wet device; a battery is in the safe place or goes there now. */
function Unsafe({ job }: { readonly job: Job }) {
  const { problem, run } = useAct();
  const { device } = job;
  if (job.stage === "handed_over") return null;
  if (!isCellUnsafe(job)) return job.stop?.reason === "liquid" ? <UnsafeNotice paths={["liquid"]} /> : null;
  const at = device === null ? null : placeOfCode(device);
  const isSafe = at?.kind === "at" && at.to === "safe";
  const bring = () => device !== null && run(() => place(device, "safe"));
  return (
    <UnsafeNotice paths={["battery"]}>
      {!isSafe && <Button onPress={bring}>It is in the safe place now</Button>}
      {problem !== null && <Refusal problem={problem} />}
    </UnsafeNotice>
  );
}

function Glance({ code, job }: Props) {
  const late = isLate(job, nowMs());
  const barred = notShown(job).length;
  const card = contactCard(job.contact);
  const clash = job.device !== null && placeOfCode(job.device).kind === "clash";
  return (
    <dl class="facts">
      <dt>Complaint</dt>
      <dd>“{said(job.complaint) ?? "not said"}”</dd>
      {job.promised_at_ms !== null && (
        <>
          <dt>Promised</dt>
          <dd>
            {dayTime(job.promised_at_ms)}
            {(job.stage === "booked" || job.stage === "bench") && (
              <div>
                <span class={late ? "mark stop" : ""}>
                  {late && <Shape name="warn" />} {fromNow(job.promised_at_ms, nowMs())}
                </span>
              </div>
            )}
          </dd>
        </>
      )}
      <dt>Device is</dt>
      <dd>
        {clash ? (
          <span class="mark warn">
            <Shape name="warn" /> Not certain
          </span>
        ) : (
          job.device !== null && placeLines(code, job.device).map((line) => <div key={line}>{line}</div>)
        )}
        {job.device !== null && (
          <a class="way-on" href={`#/trace/${job.device}`}>
            Trace of the device
          </a>
        )}
      </dd>
      {job.bench_staff !== null && job.stage === "bench" && (
        <>
          <dt>At the bench</dt>
          <dd>{staffName(job.bench_staff)}</dd>
        </>
      )}
      <dt>Customer</dt>
      <dd>
        <div>{card === null ? "The card is not here: erased, or not arrived yet" : card.name || "Without a name"}</div>
        {card?.mail && <div>{card.mail}</div>}
        {card?.phone && (
          <a class="button job-call" href={telAddress(card.phone)}>
            Call {card.phone}
          </a>
        )}
        {isLead() && (
          <a class="way-on" href={`#/customer/${code}`}>
            What the shop holds about this customer
          </a>
        )}
      </dd>
      <dt>Price</dt>
      <dd>{jobPriceWords(job)}</dd>
      <dt>Lock</dt>
      <dd>
        {lockWords(job)}
        {lockLine(job)}
        {isLocked(job) && barred > 0 && (
          <div class="soft">{barred === 1 ? "1 point" : `${barred} points`} could not be shown: see Tests</div>
        )}
      </dd>
      <dt>Booked in</dt>
      <dd>
        {staffName(job.booked_by)}, {dayTime(job.booked_at_ms ?? 0)}
        <a class="way-on" href={`#/trace/${code}`}>
          All entries of the job
        </a>
      </dd>
    </dl>
  );
}

/** As agreed at the counter, or as it is since. */
function lockWords(job: Job): string {
  if (job.lock === null) return "Not asked";
  const changed = job.lock_changes.length > 0;
  if (isLocked(job)) return `It ${changed ? "is locked now" : "stays locked"}: ${lower(lockedWords.name)}`;
  return changed ? "It is unlocked now" : "The customer unlocks it";
}

/** Why the lock is not as it was at the counter. */
function lockLine(job: Job) {
  const last = job.lock_changes.at(-1);
  if (last === undefined) return null;
  return (
    <div class="soft">
      Since {dayTime(last.at_ms)}: {said(last.why)}
    </div>
  );
}

/** Where the device is, from itself outwards; that it is with its own job goes without saying. */
function placeLines(code: string, device: string): readonly string[] {
  const lines = whereIs(device);
  const own = lines.findIndex((line) => line.includes(groupCode(code)));
  return own <= 0 ? lines : lines.slice(0, own);
}

/** Everything else that can be done from here. */
function Ways({ code, job, next }: Props & { readonly next: Owed }) {
  const open = job.stage !== "handed_over";
  const [ticket, label] = [ticketLabel(code, location.origin), deviceLabel(code)];
  return (
    <section class="stack" aria-label="Also">
      <h2>Also</h2>
      <div class="job-also">
        {open && <Way to={`job/${code}/tell/news`}>Tell how it stands</Way>}
        {open && next.act.do !== "promise" && <Way to={`job/${code}/promise`}>New promise</Way>}
        <Way to={`job/${code}/note`}>Add a note or photo</Way>
        {open && <Way to={`bench/${code}`}>Go to the bench</Way>}
        {handOverBy(job) === "lead" && isLead() && (
          <Way to={`job/${code}/hand-over`}>Hand out with the unsafe battery</Way>
        )}
        {open && <Way to={`job/${code}/incident`}>Something went wrong by us</Way>}
        {mayHandOver(job) && next.act.do !== "hand_over" && <Way to={`job/${code}/hand-over`}>Hand over</Way>}
        {(job.stage === "ready" || job.stage === "handed_over") && <Way to={`job/${code}/record`}>Repair record</Way>}
        {ticket !== null && open && <PrintButton labels={[ticket]}>Print ticket</PrintButton>}
        {label !== null && open && <PrintButton labels={[label]}>Print device label</PrintButton>}
        {(job.stage === "booked" || job.stage === "bench") && <Way to={`job/${code}/stop`}>Stop the job</Way>}
        {mayBeLifted(job) && isLead() && <Way to={`job/${code}/lift`}>Lift the stop</Way>}
      </div>
    </section>
  );
}

function Way({ to, children }: { readonly to: string; readonly children: string }) {
  return (
    <a class="button" href={`#/${to}`}>
      {children}
    </a>
  );
}

function NextDock({ code, next }: { readonly code: string; readonly next: Owed }) {
  const { act } = next;
  if (act.do === "nothing") return null;
  const [text, to] =
    act.do === "tell"
      ? [tellText(act.telling), `job/${code}/tell/${act.telling.kind}`]
      : act.do === "promise"
        ? ["Make a new promise", `job/${code}/promise`]
        : ["Hand over", `job/${code}/hand-over`];
  return (
    <Dock>
      <Button onPress={() => go(to)} tone="main">
        {text}
      </Button>
    </Dock>
  );
}

function tellText(telling: Extract<Owed["act"], { do: "tell" }>["telling"]): string {
  switch (telling.kind) {
    case "stop":
      return `Tell: ${stopName(telling.reason)}`;
    case "ready":
      return "Tell: it is ready";
    case "returned":
      return "Tell: to be picked up, not repaired";
    case "promise":
      return "Tell the new time";
    case "price":
      return "Call about the price";
    case "news":
      return "Tell how it stands";
  }
}
