/** What the shop holds about a customer, for a lead: hand it out as a file, or erase it for good. */
import { useEffect, useState } from "preact/hooks";
import { type CustomerHeld, customerHeld, eraseCustomer, exportAddress } from "../../actions/customer.ts";
import { state } from "../../current.ts";
import { contactCard } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { dayTime, groupCode } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";

type Props = { readonly job: string };

export function Customer({ job }: Props) {
  const contact = state.value.job.get(job)?.contact ?? null;
  const [held, setHeld] = useState<CustomerHeld | null>(null);
  const [isAsked, setAsked] = useState(false);
  const [erased, setErased] = useState<boolean | null>(null);
  const { problem, busy, run } = useAct();
  const look = () => contact !== null && run(() => customerHeld(contact), setHeld);
  useEffect(() => void look(), []);
  if (erased !== null) return <Erased job={job} isDone={erased} />;
  if (isAsked && contact !== null && held !== null)
    return <Erase job={job} contact={contact} held={held} onKeep={() => setAsked(false)} onErased={setErased} />;
  return (
    <Page title="Customer's data" above={`Job ${groupCode(job)}`}>
      {contact === null && <p>This job names no customer.</p>}
      {contact !== null && held === null && problem === null && <p class="soft">Asking the server.</p>}
      {problem !== null && (
        <Refusal problem={problem} answers={null}>
          <Button onPress={look} disabled={busy}>
            Try again
          </Button>
        </Refusal>
      )}
      {contact !== null && held !== null && <Held contact={contact} held={held} onErase={() => setAsked(true)} />}
    </Page>
  );
}

type HeldProps = { readonly contact: string; readonly held: CustomerHeld; readonly onErase: () => void };

/** How much there is, and the two things that can be done with it, well apart. */
function Held({ contact, held, onErase }: HeldProps) {
  return (
    <>
      <dl class="facts">
        <dt>Customer</dt>
        <dd>{contactCard(contact)?.name || "Without a name"}</dd>
        <dt>Texts</dt>
        <dd>{held.texts}</dd>
        <dt>Photos</dt>
        <dd>{held.photos}</dd>
        <dt>Jobs</dt>
        <dd class="codes">
          <JobCodes jobs={held.jobs} />
        </dd>
      </dl>
      {held.others.length > 0 && (
        <Notice tone="warn" title="Perhaps the same person">
          <p>Another card has the same name or number. It is handed out and erased separately, from one of its jobs:</p>
          <p class="codes">
            <JobCodes jobs={held.others} />
          </p>
        </Notice>
      )}
      <section class="stack" aria-labelledby="customer-save">
        <h2 id="customer-save">Hand it out</h2>
        <a class="button main" href={exportAddress(contact)} download>
          Save everything as a file
        </a>
        <p class="soft">
          A ZIP file: a page to read, the records, every entry and the photos. Look through it before you hand it out,
          since it names staff too.
        </p>
      </section>
      <section class="stack" aria-labelledby="customer-erase">
        <h2 id="customer-erase">Erase it</h2>
        {held.open.length === 0 ? (
          <Button onPress={onErase}>Erase it for good</Button>
        ) : (
          <Notice tone="warn" title="Not while a job is open">
            <p>Still open: {held.open.map(groupCode).join(", ")}. Once the device is handed over you can erase.</p>
          </Notice>
        )}
      </section>
    </>
  );
}

const JobCodes = ({ jobs }: { readonly jobs: readonly string[] }) =>
  jobs.map((code) => (
    <a key={code} class="code" href={`#/job/${code}`}>
      {groupCode(code)}
    </a>
  ));

type EraseProps = Props & {
  readonly contact: string;
  readonly held: CustomerHeld;
  readonly onKeep: () => void;
  readonly onErased: (isDone: boolean) => void;
};

/** Asked once more, on a page of its own: the second press is not where the first was. */
function Erase({ job, contact, held, onKeep, onErased }: EraseProps) {
  const { problem, busy, run } = useAct();
  useHeadingFocus("erase");
  const parts = [count(held.texts, "text"), count(held.photos, "photo")].filter((part) => !part.startsWith("0 "));
  const what = listed(["Name", "numbers", ...parts]);
  const jobs = held.jobs.length === 1 ? "the job" : `all ${held.jobs.length} jobs`;
  return (
    <>
      <Page title="Erase for good?" above={contactCard(contact)?.name ?? `Job ${groupCode(job)}`}>
        <p class="big">
          {what} of {jobs}. Nobody can bring it back.
        </p>
        <p>
          The server erases it now, each station as soon as it is back in touch. What was done and tested stays on the
          record, without the person.
        </p>
        {held.backups_until_ms !== null && (
          <p>Scheduled backups still hold it until {dayTime(held.backups_until_ms)}.</p>
        )}
        <Notice tone="warn" title="Local law decides">
          <p>It says what you must keep, for how long, and what you must erase. Make sure before you press.</p>
        </Notice>
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={onKeep} tone="aside">
          Keep it
        </Button>
        <Button onPress={() => run(() => eraseCustomer(contact), onErased)} tone="danger main" disabled={busy}>
          Erase for good
        </Button>
      </Dock>
    </>
  );
}

const count = (number: number, word: string): string => `${number} ${word}${number === 1 ? "" : "s"}`;

const listed = (parts: readonly string[]): string => `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;

function Erased({ job, isDone }: Props & { readonly isDone: boolean }) {
  useHeadingFocus("erased");
  return (
    <Page title="Erased" above={`Job ${groupCode(job)}`}>
      <Notice tone="good" title={isDone ? "It is gone from the server" : "Nobody can reach it any more"}>
        <p>
          {isDone
            ? "The server holds nothing of it any more. Stations drop it as soon as they are back in touch."
            : "What is left of it on the server's disk goes within the hour. Stations drop it as soon as they are back in touch."}
        </p>
      </Notice>
      <a class="button" href={`#/job/${job}`}>
        Back to the job
      </a>
    </Page>
  );
}
