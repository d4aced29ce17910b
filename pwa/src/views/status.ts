/** What the counter must know of a job in one glance, and what the customer is owed next. */
import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { isCellUnsafe, mayLeadHandOut } from "../rules/cell.ts";
import { openIncidents } from "../rules/incidents.ts";
import { stopReasons } from "../tables.ts";
import { outcomeWords } from "./outcome.ts";
import { unsafePaths } from "./safety.ts";
import { wasCollected } from "./things.ts";

/** Something the customer is told. */
export type Telling =
  | { readonly kind: "stop"; readonly reason: string }
  | { readonly kind: "ready" | "returned" | "promise" | "price" | "news" };

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

/** A price limit of nothing at all: the customer wants a call first. */
export const CALL_FIRST = 0;

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

/** Whether this very news was told: a second stop, a second promise or a second time ready is told again. */
export const wasTold = (job: Job, telling: Telling): boolean => job.told.some((t) => t.what === whatSlug(job, telling));

/** The slug that stands for news in `customer.told`; the number says which of its kind it was. */
export function whatSlug(job: Job, telling: Telling): string {
  switch (telling.kind) {
    case "stop":
      return numbered(`stop-${telling.reason}`, job.lifts.length + 1);
    case "ready":
    case "returned":
      return numbered(telling.kind, job.leftover.length);
    case "promise":
      return numbered("promise", job.promises.length);
    default:
      return telling.kind;
  }
}

const numbered = (slug: string, nth: number): string => (nth > 1 ? `${slug}-${nth}` : slug);

const TOLD: Readonly<Record<string, string>> = recordTable.told;
const CHANNELS: Readonly<Record<string, string>> = recordTable.channels;

/** By what the customer was told, in words. */
export const channelWords = (channel: string): string => CHANNELS[channel] ?? channel;

/** What was told, in words. */
export function toldWords(what: string): string {
  const kind = what.replace(/-[0-9]+$/, "");
  if (kind.startsWith("stop-"))
    return recordTable.told.stop.replace("{reason}", lower(stopName(kind.slice("stop-".length))));
  return TOLD[kind] ?? kind.replace(/[._-]/g, " ");
}

export const stopName = (reason: string): string => stopReasons[reason]?.name ?? reason;

/** Looked at before anything is done, which opens nothing. */
const LOOKED = "safety";

/** Nothing was opened yet, so nothing has to be closed. */
export const isUntouched = (job: Job): boolean =>
  Object.keys(job.steps).every((step) => step === LOOKED) &&
  [job.ledger, job.connectors].every((done) => Object.keys(done).length === 0);

/** Whether the device may go to the customer now: ready, or never opened, and no unsafe battery inside. */
export function mayHandOver(job: Job): boolean {
  if (isCellUnsafe(job)) return false;
  return job.stage === "ready" || ((job.stage === "booked" || job.stage === "stopped") && isUntouched(job));
}

/** How the device may go out: by anybody, by a lead who tells the owner of the danger, or not at all. */
export const handOverBy = (job: Job): "anybody" | "lead" | "nobody" =>
  mayHandOver(job) ? "anybody" : mayLeadHandOut(job) ? "lead" : "nobody";

/** Booked in as unsafe: nothing was tested, agreed or promised. */
export const isBookedShort = (job: Job): boolean =>
  job.safety.some((check) => check.at === "counter" && unsafePaths(check).length > 0);

/** Other jobs of the same device, newest first. */
export function earlierJobs(code: string): readonly (readonly [string, Job])[] {
  const job = state.value.job.get(code);
  if (job === undefined || job.device === null) return [];
  return [...state.value.job]
    .filter(([other, j]) => other !== code && (j.device === job.device || (j.card !== null && j.card === job.card)))
    .sort(([, a], [, b]) => (b.booked_at_ms ?? 0) - (a.booked_at_ms ?? 0));
}

/** A stop can be lifted while the device is here, also after it was closed up (F5.6). */
export const mayBeLifted = (job: Job): boolean =>
  job.stop !== null && (job.stage === "stopped" || job.stage === "ready");

export const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
