/** Something went wrong by us, noted from the job's page. */
import type { Job } from "../../fold/state.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { IncidentForm } from "../parts/IncidentForm.tsx";
import { go } from "../route.ts";

export function IncidentPage({ code, job }: { readonly code: string; readonly job: Job }) {
  useHeadingFocus("incident");
  const back = () => go(`job/${code}`, "replace");
  return (
    <>
      <Page title="Something went wrong by us" above={`${job.model}, job ${groupCode(code)}`}>
        <IncidentForm code={code} job={job} onDone={back} />
      </Page>
      <Dock>
        <Button onPress={back} tone="aside">
          Back
        </Button>
      </Dock>
    </>
  );
}
