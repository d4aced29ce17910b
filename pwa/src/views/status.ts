import { state } from "../current.ts";
import { wasCollected } from "../facts/things.ts";
import type { Job } from "../fold/state.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { isUntouched } from "../rules/handOver.ts";
import { openIncidents } from "../rules/incidents.ts";
import { CALL_FIRST, type Telling, wasTold } from "../rules/telling.ts";
import { lower } from "../words/format.ts";
import { stopName } from "../words/told.ts";
import { outcomeWords } from "./outcome.ts";

export type Owed = {
  /** One sentence. */
  readonly say: string;
  readonly act:
    | { readonly do: "tell"; readonly telling: Telling }
    | { readonly do: "hand_over" | "promise" | "nothing" };
};

/** What is owed to the customer next; the first rule that fits. */
export function owed(job: Job, nowMs: number): Owed {
  if (job.stage === "handed_over") return { say: "Nothing. The device is with the customer.", act: { do: "nothing" } };
  if (wasCollected(job))
    return { say: "Nothing. A collector took the device, as its owner agreed.", act: { do: "nothing" } };
  if (job.stage === "ready") return owedWhenReady(job);
  if (job.stage === "stopped") return owedWhenStopped(job);
  if (job.stage === "bench" && job.price_limit_minor === CALL_FIRST && !wasTold(job, { kind: "price" })) {
    return tell({ kind: "price" }, "Call the customer about the price before anything costs money.");
  }
  if (job.promised_at_ms !== null && job.promised_at_ms < nowMs) {
    return { say: "The promised time is past. Agree on a new one.", act: { do: "promise" } };
  }
  if (job.promises.length > 0 && !wasTold(job, { kind: "promise" })) {
    return tell({ kind: "promise" }, "Tell the customer the new time.");
  }
  return { say: "Nothing before the promised time.", act: { do: "nothing" } };
}

function owedWhenReady(job: Job): Owed {
  const telling: Telling = { kind: job.stop === null ? "ready" : "returned" };
  if (job.stop !== null && isCellUnsafe(job)) return owedWhenUnsafe(job);
  if (!wasTold(job, telling) && openIncidents(job).length > 0) {
    return { say: "A lead says what is owed for what went wrong, then the customer is told.", act: { do: "nothing" } };
  }
  if (wasTold(job, telling)) return { say: "Hand the device over when the customer comes.", act: { do: "hand_over" } };
  const { tail } = outcomeWords(job);
  const what = job.stop === null ? "Tell the customer that it is ready" : "Tell the customer to pick it up";
  return tell(telling, tail === undefined ? `${what}.` : `${what}, ${tail}.`);
}

function owedWhenStopped(job: Job): Owed {
  const telling: Telling = { kind: "stop", reason: job.stop?.reason ?? "other" };
  if (isCellUnsafe(job)) return owedWhenUnsafe(job);
  if (!wasTold(job, telling)) return tell(telling, `Tell the customer: ${lower(stopName(telling.reason))}.`);
  if (isUntouched(job)) return { say: "Hand the device back.", act: { do: "hand_over" } };
  return { say: "Told. The bench closes the device, then it goes back.", act: { do: "nothing" } };
}

/** With an unsafe battery inside the device never just goes back: not closed up, not put on the shelf, not handed over. */
function owedWhenUnsafe(job: Job): Owed {
  const telling: Telling = { kind: "stop", reason: job.stop?.reason ?? "battery" };
  if (!wasTold(job, telling)) return tell(telling, `Tell the customer: ${lower(stopName(telling.reason))}.`);
  return {
    say: "A lead decides: the cell comes out, or the device stays in the safe place.",
    act: { do: "nothing" },
  };
}

const tell = (telling: Telling, say: string): Owed => ({ say, act: { do: "tell", telling } });

/** Other jobs of the same device, newest first. */
export function earlierJobs(code: string): readonly (readonly [string, Job])[] {
  const job = state.value.job.get(code);
  if (job === undefined || job.device === null) return [];
  return [...state.value.job]
    .filter(([other, j]) => other !== code && (j.device === job.device || (j.card !== null && j.card === job.card)))
    .sort(([, a], [, b]) => (b.booked_at_ms ?? 0) - (a.booked_at_ms ?? 0));
}
