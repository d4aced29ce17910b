/** The prepared message to a customer: plain words, no blame, nothing that a stranger may not read over a shoulder. */
import recordTable from "@shared/record.json";
import { placeOfCode } from "../facts/things.ts";
import type { Job } from "../fold/state.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { isUntouched } from "../rules/handOver.ts";
import type { Telling } from "../rules/telling.ts";
import { stages } from "../tables.ts";
import { lower } from "../words/format.ts";
import { failing } from "./comparison.ts";
import { incidentLines, outcomeWords, reasonWords } from "./outcome.ts";

export type Words = {
  readonly name: string;
  readonly shop: string;
  readonly phone: string;
  /** The ticket's code as it is printed. */
  readonly ticket: string;
  /** The promised time as it is read. */
  readonly promised: string;
};

/** The whole message. The person may change it before it goes out. */
export function message(job: Job, telling: Telling, words: Words): string {
  const hello = words.name === "" ? "Hello," : `Hello ${words.name},`;
  const from = words.shop === "" ? "" : ` this is ${words.shop}.`;
  const about = `About your ${job.model ?? "device"}, ticket ${words.ticket}:`;
  const call = words.phone === "" ? "" : `Questions? Call ${words.phone}.`;
  return [`${hello}${from}`, about, ...news(job, telling, words), call].filter((line) => line !== "").join("\n");
}

function news(job: Job, telling: Telling, words: Words): readonly string[] {
  switch (telling.kind) {
    case "stop":
      return [...stopped(job), ...incidentLines(job), afterStop(job)];
    case "ready":
      return [
        outcomeWords(job).say,
        ...incidentLines(job),
        "It is ready to be picked up.",
        ...stillFailing(job),
        "Please bring the ticket.",
      ];
    case "returned":
      return ["It can be picked up.", ...stopped(job), ...incidentLines(job), "Please bring the ticket."];
    case "promise":
      return [`It will be ready at another time than we said: ${words.promised}.`, "We are sorry for the change."];
    case "price":
      return ["Before we go on we would like to speak with you about the price."];
    case "news":
      return standing(job, words);
  }
}

/** That it was not repaired, and why. */
const stopped = (job: Job): readonly string[] => {
  const reason = reasonWords(job);
  return reason === null ? [outcomeWords(job).say] : [outcomeWords(job).say, reason];
};

/** Where it is and what comes next. */
function afterStop(job: Job): string {
  if (isCellUnsafe(job)) return whereUnsafe(job);
  return isUntouched(job) ? "You can pick it up." : "We close the device and tell you when you can pick it up.";
}

/** With an unsafe battery inside it stays where it harms nobody. */
function whereUnsafe(job: Job): string {
  const place = job.device === null ? null : placeOfCode(job.device);
  return place?.kind === "at" && place.to === "safe" ? recordTable.places.safe : recordTable.places.here;
}

/** How it is now, in the words that the ticket's page has for it. */
function standing(job: Job, { promised }: Words): readonly string[] {
  if (job.stop !== null) return [...stopped(job), ...(isCellUnsafe(job) ? [whereUnsafe(job)] : [])];
  const { tail, say } = outcomeWords(job);
  const said = [stages[job.stage].customer, ...(tail === undefined ? [] : [say])];
  const isToCome = (job.stage === "booked" || job.stage === "bench") && job.promised_at_ms !== null;
  return isToCome ? [...said, `We promised it for ${promised}.`] : said;
}

/** What did not work at intake and does not work now is said before the customer finds it. */
function stillFailing(job: Job): readonly string[] {
  const names = failing(job)
    .filter((r) => r.verdict === "was_before")
    .map((r) => lower(r.name));
  return names.length === 0 ? [] : [`These did not work when you brought it and still do not: ${names.join(", ")}.`];
}

/** The address that opens the telephone's own messenger with the text filled in (RFC 5724 and its `body` field). */
export const smsAddress = (phone: string, text: string): string =>
  `sms:${dialled(phone)}?body=${encodeURIComponent(text)}`;

/** RFC 6068: line feeds as CR LF, and every part percent-encoded. */
export function mailAddress(mail: string, subject: string, text: string): string {
  const body = encodeURIComponent(text.replaceAll("\n", "\r\n"));
  return `mailto:${encodeURIComponent(mail).replaceAll("%40", "@")}?subject=${encodeURIComponent(subject)}&body=${body}`;
}

/** RFC 3966: digits, and the plus in front. */
export const telAddress = (phone: string): string => `tel:${dialled(phone)}`;

const dialled = (phone: string): string => phone.replace(/(?!^\+)[^0-9]/g, "");
