/** One job at the counter: its status, and the small screens that act on it. */
import "../../style/job.css";
import { state } from "../../current.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { HandOver } from "./HandOver.tsx";
import { IncidentPage } from "./IncidentPage.tsx";
import { Lift } from "./Lift.tsx";
import { NewPromise } from "./NewPromise.tsx";
import { Note } from "./Note.tsx";
import { Record } from "./Record.tsx";
import { Status } from "./Status.tsx";
import { Stop } from "./Stop.tsx";
import { Tell } from "./Tell.tsx";

type Props = { readonly code: string; readonly part: string | null; readonly detail: string | null };

export function JobScreen({ code, part, detail }: Props) {
  const job = state.value.job.get(code);
  if (job === undefined) {
    return (
      <Page title="Job">
        <Refusal problem={{ slug: "code-unknown", detail: code }}>
          <a class="button" href="#/scan">
            Scan again
          </a>
        </Refusal>
      </Page>
    );
  }
  switch (part) {
    case "tell":
      return <Tell code={code} job={job} what={detail} />;
    case "promise":
      return <NewPromise code={code} job={job} />;
    case "stop":
      return <Stop code={code} job={job} />;
    case "lift":
      return <Lift code={code} job={job} />;
    case "hand-over":
      return <HandOver code={code} job={job} />;
    case "incident":
      return <IncidentPage code={code} job={job} />;
    case "note":
      return <Note code={code} job={job} />;
    case "record":
      return <Record code={code} job={job} />;
    default:
      return <Status code={code} job={job} />;
  }
}
