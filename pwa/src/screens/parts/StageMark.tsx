/** A job's stage as shape and word; when it is stopped, with the reason. */
import type { Job } from "../../fold/state.ts";
import { type StageId, stages } from "../../tables.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { outcomeWords } from "../../views/outcome.ts";
import { stopName } from "../../words/told.ts";

const LOOK: Readonly<Record<StageId, readonly [ShapeName, string]>> = {
  booked: ["open", ""],
  bench: ["now", "now"],
  stopped: ["stop", "stop"],
  ready: ["done", "good"],
  handed_over: ["away", ""],
};

type Props = {
  readonly job: Job;
  readonly size?: number;
  /** The stage only: the reason stands beside it. */
  readonly short?: boolean;
};

export function StageMark({ job, size, short }: Props) {
  const tail = job.stage === "ready" || job.stage === "handed_over" ? outcomeWords(job).tail : undefined;
  // Ready is not all: what came of it stands behind the word and in the shape.
  const [shape, tone] = job.stage === "ready" && tail !== undefined ? (["warn", "warn"] as const) : LOOK[job.stage];
  const reason = job.stage === "stopped" && job.stop !== null ? `: ${stopName(job.stop.reason)}` : "";
  return (
    <span class={`mark ${tone}`}>
      <Shape name={shape} size={size ?? 24} />
      {stages[job.stage].name}
      {short !== true && (tail === undefined ? reason : `, ${tail}`)}
    </span>
  );
}
