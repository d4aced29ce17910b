/** Booked in: the code, the two labels, and where the device goes. */
import "../../style/book.css";
import { place } from "../../actions/book.ts";
import { state } from "../../current.ts";
import { placeOfCode } from "../../facts/things.ts";
import { isLocked } from "../../rules/locked.ts";
import { bookedUnsafe } from "../../rules/safety.ts";
import { useAct } from "../../ui/act.ts";
import { Code } from "../../ui/Code.tsx";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { dayTime } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { deviceLabel, ticketLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";

export function Booked({ code }: { readonly code: string }) {
  const { problem, run } = useAct();
  useHeadingFocus(code);
  const job = state.value.job.get(code);
  if (job === undefined || job.device === null) {
    return (
      <Page title="Booked in">
        <Refusal problem={{ slug: "code-unknown", detail: code }} />
      </Page>
    );
  }
  const { device } = job;
  const [ticket, label] = [ticketLabel(code, location.origin), deviceLabel(code)];
  const at = placeOfCode(device);
  const unsafe = bookedUnsafe(job);
  const put = (to: string) => run(() => place(device, to));
  return (
    <>
      <Page title={`${job.model} is booked in`} above="Saved on this station">
        <p class="book-code">
          <Code code={code} />
        </p>
        {unsafe.length > 0 && <UnsafeNotice paths={unsafe} />}
        {job.promised_at_ms !== null && <p class="big">Promised for {dayTime(job.promised_at_ms)}.</p>}
        <div class="ways">
          {ticket !== null && <PrintButton labels={[ticket]}>Print ticket</PrintButton>}
          {label !== null && <PrintButton labels={[label]}>Print device label</PrintButton>}
        </div>
        {unsafe.includes("battery") ? (
          <NextForBattery />
        ) : (
          <Choice
            label="Stick the label on. Where does the device go?"
            options={[
              { value: "counter", name: "It stays at the counter" },
              { value: "shelf", name: "Onto the shelf" },
              { value: "bench", name: "To the bench" },
            ]}
            value={at.kind === "at" ? at.to : null}
            onChoose={put}
          />
        )}
        {unsafe.length === 1 && unsafe[0] === "liquid" && (
          <p>It stays off and off the charger until somebody has dried and looked at it. Tell the customer so now.</p>
        )}
        {problem !== null && <Refusal problem={problem} />}
        {unsafe.length === 0 && !isLocked(job) && (
          <a class="button plain" href={`#/self-test/${code}/intake`}>
            Let the device test itself
          </a>
        )}
        <a class="button plain" href={`#/job/${code}`}>
          Open the job
        </a>
      </Page>
      <Dock>
        <Button onPress={() => go("book", "replace")} tone="main">
          Next customer
        </Button>
      </Dock>
    </>
  );
}

/** An unsafe battery has one way only, and it is not the shelf. */
function NextForBattery() {
  return (
    <section class="stack" aria-label="What next">
      <h2>What next</h2>
      <ol class="safety-do">
        <li>Label on it, without pressing: battery unsafe, do not open, charge or press.</li>
        <li>Quiet and cool: carry it once, flat, into the container of the safe place. It is booked as lying there.</li>
        <li>A lead decides: the cell comes out, or the device stays in the safe place.</li>
      </ol>
    </section>
  );
}
