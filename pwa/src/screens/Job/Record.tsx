/** The repair record for the customer, to print: outcome, tests before and after, photos. */

import { printPage } from "../../actions/print.ts";
import type { Job } from "../../fold/state.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { dayTime } from "../../ui/format.ts";
import { Page } from "../../ui/Page.tsx";
import { shop } from "../../views/people.ts";
import { useHeadingFocus } from "../Book/headingFocus.ts";
import { PhotoStrip } from "../photos/PhotoStrip.tsx";
import { go } from "../route.ts";
import { Compare } from "./Compare.tsx";
import { Outcome } from "./Outcome.tsx";

export function Record({ code, job }: { readonly code: string; readonly job: Job }) {
  useHeadingFocus("record");
  const { shop_name, phone } = shop();
  const photos = Object.entries(job.photos).filter(
    ([, p]) => p.use === "intake" || p.use === "repair" || p.use === "liquid",
  );
  return (
    <>
      <Page title={`Repair record: ${job.model}`} {...(shop_name === undefined ? {} : { above: shop_name })}>
        <Outcome code={code} job={job} />
        <p class="soft">
          Booked in {dayTime(job.booked_at_ms ?? 0)}
          {job.handed_over !== null && `, handed over ${dayTime(job.handed_over)}`}
          {phone !== undefined && `. Questions: ${phone}`}
        </p>
        <h2>Tests before and after</h2>
        <Compare job={job} all />
        <PhotoStrip photos={photos.map(([hash]) => hash)} what="Repair record" />
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Back
        </Button>
        <Button onPress={printPage} tone="main">
          Print the record
        </Button>
      </Dock>
    </>
  );
}
