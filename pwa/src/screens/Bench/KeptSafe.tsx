/** A job whose device lies in the safe place: what was seen, and who decides. */
import safety from "@shared/safety.json";
import { isLead } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { go } from "../route.ts";

export function KeptSafe({ code, job }: { readonly code: string; readonly job: Job }) {
  return (
    <>
      <Page title="In the safe place" above={`${job.model ?? "Device"} · job ${groupCode(code)}`}>
        <Notice tone="stop" title={safety.paths.battery.title}>
          <p>A lead decides: the cell comes out, or the device stays where it is until a collector takes it.</p>
          <p>{safety.paths.battery.do[0]}</p>
        </Notice>
        {isLead() && (
          <a class="button danger" href={`#/job/${code}/lift`}>
            Decide, as lead
          </a>
        )}
        <a class="button" href="#/safe">
          All that lies there
        </a>
        <a class="button" href={`#/job/${code}`}>
          Record of the job
        </a>
      </Page>
      <Dock>
        <Button onPress={() => go("scan")} tone="main">
          Next: scan
        </Button>
      </Dock>
    </>
  );
}
