/** A job's status in one glance, and what the customer is owed next. */
import { nowMs } from "../../device/clock.ts";
import type { Job } from "../../fold/state.ts";
import { isLocked, notShown } from "../../rules/locked.ts";
import { lockedWords } from "../../tables/testPoints.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { dayTime, fromNow, groupCode } from "../../ui/format.ts";
import { Notice } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { caution } from "../../views/cautions.ts";
import { telAddress } from "../../views/message.ts";
import { contactCard, isLead, staffName } from "../../views/people.ts";
import { isLate } from "../../views/queue.ts";
import { lower, mayBeLifted, mayHandOver, type Owed, owed, stopName } from "../../views/status.ts";
import { placeOfCode } from "../../views/things.ts";
import { whereIs } from "../../views/trace.ts";
import { useHeadingFocus } from "../Book/headingFocus.ts";
import { ClashNotice } from "../Clash/ClashList.tsx";
import { deviceLabel, ticketLabel } from "../print/labels.ts";
import { PrintButton } from "../print/PrintButton.tsx";
import { go } from "../route.ts";
import { Compare } from "./Compare.tsx";
import { Found } from "./Found.tsx";
import { History } from "./History.tsx";
import { StageMark } from "./StageMark.tsx";
import { priceWords } from "./words.ts";

type Props = { readonly code: string; readonly job: Job };

export function Status({ code, job }: Props) {
  useHeadingFocus(code);
  const next = owed(job, nowMs());
  const emergency = caution("battery_emergency");
  return (
    <>
      <Page title={job.model ?? "Job"} above={`Job ${groupCode(code)}`} wide>
        <div class="counter-lead">
          <p class="big">
            <StageMark job={job} size={34} />
          </p>
          <p class="counter-owed">
            <span class="soft">Owed to the customer</span>
            <strong>{next.say}</strong>
          </p>
        </div>
        {job.stop?.reason === "battery" && job.stage !== "handed_over" && (
          <Notice tone="stop" title={emergency.name}>
            <p>{emergency.text}</p>
          </Notice>
        )}
        {job.device !== null && <ClashNotice code={job.device} />}
        <div class="two">
          <div class="stack">
            <Glance code={code} job={job} />
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

function Glance({ code, job }: Props) {
  const late = isLate(job, nowMs());
  const barred = notShown(job).length;
  const card = contactCard(job.contact);
  const clash = job.device !== null && placeOfCode(job.device).kind === "clash";
  return (
    <dl class="facts">
      <dt>Complaint</dt>
      <dd>“{job.complaint ?? "not said"}”</dd>
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
          <a class="counter-way-on" href={`#/trace/${job.device}`}>
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
          <a class="button counter-call" href={telAddress(card.phone)}>
            Call {card.phone}
          </a>
        )}
      </dd>
      <dt>Price</dt>
      <dd>{priceWords(job.price_limit_minor)}</dd>
      <dt>Lock</dt>
      <dd>
        {isLocked(job) ? `It stays locked: ${lower(lockedWords.name)}` : "The customer unlocks it"}
        {isLocked(job) && barred > 0 && (
          <div class="soft">{barred === 1 ? "1 point" : `${barred} points`} could not be shown: see Tests</div>
        )}
      </dd>
      <dt>Booked in</dt>
      <dd>
        {staffName(job.booked_by)}, {dayTime(job.booked_at_ms ?? 0)}
        <a class="counter-way-on" href={`#/trace/${code}`}>
          All entries of the job
        </a>
      </dd>
    </dl>
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
      <div class="counter-also">
        {open && <Way to={`job/${code}/tell/news`}>Tell how it stands</Way>}
        {open && next.act.do !== "promise" && <Way to={`job/${code}/promise`}>New promise</Way>}
        <Way to={`job/${code}/note`}>Add a note or photo</Way>
        {open && <Way to={`bench/${code}`}>Go to the bench</Way>}
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
      return "Tell: to be fetched, not repaired";
    case "promise":
      return "Tell the new time";
    case "price":
      return "Call about the price";
    case "news":
      return "Tell how it stands";
  }
}
