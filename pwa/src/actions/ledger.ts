/** Entering a fastener that was lost or damaged: its own entry, never a silent correction. */
import type { Event } from "../events/envelope.ts";
import type { Loss } from "../events/kinds.gen.ts";
import { workOf } from "../facts/work.ts";
import { type Result, refuse } from "../problem.ts";
import { lossFits } from "../rules/ledger.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";

export type LossEntry = {
  readonly group: string;
  readonly count: number;
  readonly what: Loss;
  readonly why: string;
  readonly replaced: number;
  readonly replacedBy: string;
};

/** `why-missing`, `loss-too-many` when the tray does not hold as many. */
export const enterLoss = onePress(async (code: string, entry: LossEntry): Promise<Result<readonly Event[]>> => {
  const work = workOf(code);
  if (!work.ok) return work;
  const { group, count, what, replaced } = entry;
  const [why, by] = [entry.why.trim(), entry.replacedBy.trim()];
  if (why === "") return refuse("why-missing");
  if (!lossFits(work.value.job.ledger[group], count, replaced)) return refuse("loss-too-many");
  const body = { group, count, what, why, replaced, ...(by === "" ? {} : { replaced_by: by }) };
  return act(() => [{ kind: "fastener.lost", job: code, body }]);
});
