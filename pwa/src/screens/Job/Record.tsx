/**
 * The repair record, to read, to print, or as the server's PDF: for the customer on one page with nothing on it that is
 * the shop's own, or for the shop with all that it knows. It draws the sheet and adds nothing to it.
 */
import recordTable from "@shared/record.json";
import { useState } from "preact/hooks";
import { printPage } from "../../actions/print.ts";
import { state } from "../../current.ts";
import type { Job } from "../../fold/state.ts";
import { reach } from "../../sync/status.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { readJobEvents } from "../../views/jobEvents.ts";
import { marksOf } from "../../views/photoMarks.ts";
import { customerSheet, type Form, type Sheet, shopSheet } from "../../views/record.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { MarkedPhoto } from "../parts/photos/MarkedPhoto.tsx";
import { go } from "../route.ts";
import { Outcome } from "./Outcome.tsx";
import { RecordPart } from "./RecordPart.tsx";
import { RecordTests } from "./RecordTests.tsx";
import "../../style/record.css";

const FORMS: readonly { readonly value: Form; readonly name: string }[] = [
  { value: "customer", name: "For the customer" },
  { value: "shop", name: "For the shop" },
];
const { headings } = recordTable;

export function Record({ code, job }: { readonly code: string; readonly job: Job }) {
  useHeadingFocus("record");
  const [form, setForm] = useState<Form>("customer");
  const events = useLoaded(() => readJobEvents(code), [code, state.value]);
  const isShops = form === "shop";
  const sheet = isShops ? shopSheet(code, job, events.value ?? []) : customerSheet(code, job);
  return (
    <>
      <Page title={sheet.title} {...(sheet.shop === "" ? {} : { above: sheet.shop })}>
        <div class="record-form">
          <Choice label="Which form" options={FORMS} value={form} onChoose={setForm} across />
        </div>
        {isShops && (
          <p class="mark warn">
            <Shape name="warn" /> For the shop only
          </p>
        )}
        <Outcome {...sheet} />
        {sheet.contact !== "" && <p class="soft">Questions: {sheet.contact}</p>}
        {sheet.cautions.length > 0 && (
          <ul class="stack" aria-label="Mind this">
            {sheet.cautions.map((text) => (
              <li class="record-caution" key={text}>
                <Shape name="warn" />
                {text}
              </li>
            ))}
          </ul>
        )}
        {sheet.parts.map((part) => (
          <RecordPart key={part.title} part={part} />
        ))}
        <RecordTests sheet={sheet} />
        {sheet.rounds !== null && <RecordPart part={sheet.rounds} />}
        <Photos job={job} sheet={sheet} />
        {sheet.long.map((part) => (
          <RecordPart key={part.title} part={part} isList={part.title === headings.entries} />
        ))}
        {events.problem !== null && <Refusal problem={events.problem} />}
        {isShops && events.value === undefined && events.problem === null && (
          <p class="soft">The entries are being read.</p>
        )}
        <Papers code={code} />
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Back
        </Button>
        <Button onPress={printPage} tone="main">
          {isShops ? "Print the shop's record" : "Print the record"}
        </Button>
      </Dock>
    </>
  );
}

function Photos({ job, sheet }: { readonly job: Job; readonly sheet: Sheet }) {
  const { photos } = sheet;
  if (photos.length === 0) return null;
  return (
    <section class="stack" aria-label={headings.photos}>
      <h2>{headings.photos}</h2>
      <div class="record-photos">
        {photos.map(({ sha256, caption }, index) => (
          <a href={`#/photo/${sha256}`} key={sha256}>
            <MarkedPhoto
              hash={sha256}
              alt={`Repair record, photo ${index + 1} of ${photos.length}`}
              size={job.photos[sha256] ?? null}
              marks={marksOf(job, sha256)}
            />
            <span class="small">{caption}</span>
          </a>
        ))}
      </div>
    </section>
  );
}

/** What the server draws; printing from here needs nobody. */
function Papers({ code }: { readonly code: string }) {
  if (reach.value !== "reached") {
    return <p class="soft record-papers">The PDF forms need the server. Printing from here does not.</p>;
  }
  return (
    <p class="row record-papers">
      <a class="button" href={`/api/jobs/${code}/record.pdf`} target="_blank" rel="noreferrer">
        PDF for the customer
      </a>
      <a class="button" href={`/api/jobs/${code}/record.pdf?form=shop`} target="_blank" rel="noreferrer">
        PDF for the shop, everything
      </a>
    </p>
  );
}
