/** Devices that turned out to have been here before: the server could not be asked when they were booked in. */
import { lookAtCameBack } from "../../actions/archive.ts";
import { state } from "../../current.ts";
import { cameBack } from "../../sync/status.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { groupCode } from "../../words/format.ts";

export function CameBack() {
  const { problem, run } = useAct();
  return (
    <>
      {cameBack.value.map(({ job, earlier, complaint }) => (
        <Notice tone="warn" title={`${state.value.job.get(job)?.model ?? groupCode(job)} was here before`} key={job}>
          <p>
            It was booked in while the server could not be asked.
            {complaint !== "" && ` Last time: “${complaint}”`}
          </p>
          <div class="row">
            <a class="button" href={`#/job/${job}`}>
              This job
            </a>
            <a class="button" href={`#/job/${earlier}`}>
              The earlier one
            </a>
            <Button onPress={() => run(() => lookAtCameBack(job))} tone="plain">
              Seen
            </Button>
          </div>
        </Notice>
      ))}
      {problem !== null && <Refusal problem={problem} />}
    </>
  );
}
