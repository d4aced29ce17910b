/** Why a tray cannot take a job, with the way to what is in the way. */
import type { Problem } from "../../problem.ts";
import { Refusal } from "../../ui/Notice.tsx";

type Props = { readonly problem: Problem; readonly tray?: string; readonly job?: string | null };

export function TrayRefusal({ problem, tray, job }: Props) {
  const inTheWay =
    problem.slug === "tray-in-use" ? /J\w{4} \w{5}$/.exec(problem.detail ?? "")?.[0].replace(" ", "") : undefined;
  return (
    <Refusal problem={problem}>
      {inTheWay !== undefined && (
        <a class="button" href={`#/job/${inTheWay}`}>
          Open that job
        </a>
      )}
      {problem.slug === "code-clash" && (
        <a class="button" href={`#/trace/${tray ?? problem.detail ?? ""}`}>
          Open its trace
        </a>
      )}
      {problem.slug === "job-has-tray" && job != null && (
        <a class="button" href={`#/bench/${job}`}>
          Open the bench of this job
        </a>
      )}
    </Refusal>
  );
}
