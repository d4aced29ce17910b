/**
 * The repair record, to read, to print, or as the server's PDF: for the customer on one page with nothing on it that is
 * the shop's own, or for the shop with all that it knows.
 */
import { useState } from "preact/hooks";
import { printPage } from "../../actions/print.ts";
import type { Job } from "../../fold/state.ts";
import "../../style/record.css";
import { shop, staffName } from "../../facts/people.ts";
import { reach } from "../../sync/status.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { INCIDENT_TITLE } from "../../views/outcome.ts";
import { marksOf, PHOTO_USES } from "../../views/photoMarks.ts";
import {
  AGREED_TITLE,
  type CustomerRecord,
  customerRecord,
  fullRecord,
  LOCKED_TITLE,
  ROUNDS_TITLE,
} from "../../views/record.ts";
import { dayTime } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { MarkedPhoto } from "../parts/photos/MarkedPhoto.tsx";
import { go } from "../route.ts";
import { Outcome } from "./Outcome.tsx";
import { RecordTests } from "./RecordTests.tsx";
import { ShopRecord } from "./ShopRecord.tsx";

type Form = "customer" | "shop";
const FORMS: readonly { readonly value: Form; readonly name: string }[] = [
  { value: "customer", name: "For the customer" },
  { value: "shop", name: "For the shop" },
];

export function Record({ code, job }: { readonly code: string; readonly job: Job }) {
  useHeadingFocus("record");
  const { shop_name, phone } = shop();
  const [form, setForm] = useState<Form>("customer");
  const isShops = form === "shop";
  const record = isShops ? fullRecord(job) : customerRecord(job);
  const title = isShops ? `Shop's record: ${job.model}` : `Repair record: ${job.model}`;
  return (
    <>
      <Page title={title} {...(shop_name === undefined ? {} : { above: shop_name })}>
        <div class="record-form">
          <Choice label="Which form" options={FORMS} value={form} onChoose={setForm} across />
        </div>
        {isShops && (
          <p class="mark warn">
            <Shape name="warn" /> For the shop only
          </p>
        )}
        <Outcome code={code} job={job} />
        <p class="soft">
          Booked in {dayTime(job.booked_at_ms ?? 0)}
          {job.handed_over !== null && `, handed over ${dayTime(job.handed_over)}`}
          {phone !== undefined && phone !== "" && `. Questions: ${phone}`}
        </p>
        {record.cautions.length > 0 && (
          <ul class="stack" aria-label="Mind this">
            {record.cautions.map((text) => (
              <li class="record-caution" key={text}>
                <Shape name="warn" />
                {text}
              </li>
            ))}
          </ul>
        )}
        <Lines title={INCIDENT_TITLE} lines={record.ours} />
        <Lines title="Condition when it came in" lines={record.condition} />
        <Lines title="What was found" lines={record.found} />
        <Lines title={AGREED_TITLE} lines={record.agreed} />
        <Lines title={LOCKED_TITLE} lines={record.locked} />
        <RecordTests record={record} />
        <Lines title={ROUNDS_TITLE} lines={record.rounds} />
        {isShops && <ShopRecord code={code} job={job} />}
        <Photos job={job} record={record} isShops={isShops} />
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

function Lines({ title, lines }: { readonly title: string; readonly lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section class="record-lines" aria-label={title}>
      <h2>{title}</h2>
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </section>
  );
}

type PhotosProps = { readonly job: Job; readonly record: CustomerRecord; readonly isShops: boolean };

function Photos({ job, record, isShops }: PhotosProps) {
  if (record.photos.length === 0) return null;
  return (
    <section class="stack" aria-label="Photos">
      <h2>Photos</h2>
      <div class="record-photos">
        {record.photos.map((hash, index) => (
          <a href={`#/photo/${hash}`} key={hash}>
            <MarkedPhoto
              hash={hash}
              alt={`Repair record, photo ${index + 1} of ${record.photos.length}`}
              size={job.photos[hash] ?? null}
              marks={marksOf(job, hash)}
            />
            {isShops && <span class="small">{photoWords(job, hash)}</span>}
          </a>
        ))}
      </div>
    </section>
  );
}

function photoWords(job: Job, hash: string): string {
  const photo = job.photos[hash];
  if (photo === undefined) return "";
  const use = (PHOTO_USES as Readonly<Record<string, string>>)[photo.use] ?? "Photo";
  return `${use}, ${staffName(photo.staff)}, ${dayTime(photo.at_ms)}`;
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
