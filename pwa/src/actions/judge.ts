/** Judging units of a new part: what a try shows, and what a lead says of one that was doubtful. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { isLead } from "../facts/people.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import { cautionWhenFailed, isUnsafeBattery } from "../rules/battery.ts";
import type { FailedUnit } from "../rules/prefit.ts";
import { pointNames } from "../words/points.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

const WHY = {
  doa: "Failed before fitting",
  doubtful: "Failed before fitting, and the board may be at fault",
} as const;

/**
 * A unit that failed is judged and lies apart: on the bench, or in the safe place if its battery may be the fault. Nothing
 * for one that was judged so before.
 */
export function setApart({ part, failed }: FailedUnit, verdict: "doa" | "doubtful"): readonly NewEvent[] {
  const thing = state.value.thing.get(part);
  if (thing?.verdict === verdict) return [];
  const why = `${WHY[verdict]}: ${pointNames(failed)}`.slice(0, 200);
  const caution = cautionWhenFailed(thing?.shipping_caution ?? null, failed);
  const battery = caution === null ? {} : { shipping_caution: caution };
  const isUnsafe = isUnsafeBattery(caution ?? thing?.shipping_caution ?? null);
  return [{ kind: "part.judged", body: { part, verdict, why, ...battery } }, moved(part, isUnsafe ? "safe" : "bench")];
}

/** A lead settles what a doubtful unit is. `lead-only`, `part-not-doubtful`, `why-missing`. */
export const judgeDoubtful = onePress(
  async (part: string, verdict: "good" | "doa", why: string): Promise<Result<readonly Event[]>> => {
    if (!isLead()) return refuse("lead-only");
    if (state.value.thing.get(part)?.verdict !== "doubtful") return refuse("part-not-doubtful");
    const text = written(why).slice(0, 200);
    if (text === "") return refuse("why-missing");
    return act(() => [{ kind: "part.judged", body: { part, verdict, why: text } }]);
  },
);
