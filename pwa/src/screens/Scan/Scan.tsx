/** The start page: whatever is scanned or typed leads to the right place. */
import { allDrafts } from "../../actions/drafts.ts";
import { signedOn, state } from "../../current.ts";
import { hasNobody, signedOnStaff } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { useLoaded } from "../../ui/loaded.ts";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { TimersLine } from "../parts/TimersLine.tsx";
import { followScan } from "../route.ts";

export function Scan() {
  const { problem, run } = useAct();
  const found = (text: string) => run(() => followScan(text));
  const role = signedOnStaff()?.role;
  return (
    <Page title="Scan" {...(signedOn.value === null ? { above: "Nobody is signed on" } : {})}>
      {hasNobody() && (
        <Notice tone="plain" title="This shop has no staff yet">
          <p>Add yourself as lead first: it takes a name and makes your badge.</p>
          <a class="button" href="#/shop">
            Add yourself as lead
          </a>
        </Notice>
      )}
      <div class="scan-first">
        <Scanner
          onFound={found}
          say={signedOn.value === null ? "Your badge first" : "Ticket, tray, device, part or box"}
          atOnce
        />
      </div>
      {problem !== null && <Refusal problem={problem} />}
      <TimersLine />
      <Unfinished />
      <nav class="stack" aria-label="Begin">
        {(role === "counter" || role === "lead") && (
          <a class="button" href="#/book">
            Book a device in
          </a>
        )}
        {role === "bench" && <MyBench />}
        {role === "shipping" && (
          <a class="button" href="#/boxes">
            Boxes
          </a>
        )}
      </nav>
    </Page>
  );
}

/** Jobs this person has open on the bench: one press back to the exact step. */
function MyBench() {
  const mine = [...state.value.job].filter(([, j]) => j.stage === "bench" && j.bench_staff === signedOn.value);
  return (
    <>
      {mine.map(([code, job]) => (
        <a class="button" href={`#/bench/${code}`} key={code}>
          Go on: {job.model ?? code}
        </a>
      ))}
    </>
  );
}

function Unfinished() {
  const { value: drafts = [], problem } = useLoaded(allDrafts, []);
  const booking = drafts.filter((d) => d.id.startsWith("booking"));
  if (problem !== null) return <Refusal problem={problem} answers={null} />;
  if (booking.length === 0) return null;
  return (
    <a class="button" href="#/book">
      Go on with the unfinished booking
    </a>
  );
}
