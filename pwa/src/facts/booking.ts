import { docs, state } from "../current.ts";
import type { Lock, Mark, Side } from "../events/kinds.gen.ts";
import type { Job, TestResult } from "../fold/state.ts";
import { knownOf } from "../rules/lacking.ts";
import { isBarred, lockedWhy } from "../rules/locked.ts";
import type { Procedure } from "../rules/procedure.ts";
import { isSafetyAnswered, QUESTIONS, type SafetyAnswers, unsafePaths } from "../rules/safety.ts";
import { pointsOf } from "../rules/tests.ts";
import { becauseWord, lackingWhy, testGroups, testPoints } from "../tables/testPoints.ts";
import { CONSENT_SLUGS, shopTerms } from "./agreement.ts";
import { procedures } from "./catalogue.ts";
import { jobsOfDevice } from "./leadsTo.ts";
import { type ContactCard, contactCard } from "./people.ts";

export type DraftPhoto = {
  readonly sha256: string;
  readonly bytes: number;
  readonly width: number;
  readonly height: number;
};
export type DraftMark = {
  readonly id: string;
  readonly side: Side;
  readonly x_pm: number;
  readonly y_pm: number;
  readonly what: Mark | null;
  readonly note: string;
  readonly photos: readonly DraftPhoto[];
};
export type DraftReading = { readonly result: TestResult; readonly why: string };
export type Price = "call" | "limit" | "open";

/** Everything entered so far. Kept on this station at every change; never an unlock code. */
export type Booking = {
  readonly step: StepId;
  /** A step that was opened from the summary leads back there. */
  readonly toSummary: boolean;
  /** The three questions before any test. */
  readonly safety: SafetyAnswers;
  readonly cardRef: string;
  readonly contactRef: string;
  readonly ticket: string;
  readonly imei: string;
  readonly serial: string;
  readonly noNumber: boolean;
  /** The device's code from an earlier job. */
  readonly device: string | null;
  /** The person knows that the device has an open job and continues. */
  readonly knowingly: boolean;
  readonly model: string;
  readonly name: string;
  readonly phone: string;
  readonly mail: string;
  readonly complaint: string;
  readonly side: Side;
  readonly marks: readonly DraftMark[];
  readonly editing: string | null;
  readonly photos: readonly DraftPhoto[];
  readonly lock: Lock | null;
  readonly tests: Readonly<Record<string, DraftReading>>;
  readonly agreed: Readonly<Record<string, "yes" | "no">>;
  /** The revision of the shop's own terms that was shown; null before. */
  readonly terms: number | null;
  readonly price: Price | null;
  readonly limit: string;
  readonly promised_at_ms: number | null;
  readonly procedure: string | null;
};

export const STEPS = [
  "safety",
  "device",
  "model",
  "who",
  "complaint",
  "marks",
  "lock",
  "tests",
  "agreed",
  "price",
  "promise",
  "way",
  "summary",
] as const;
export type StepId = (typeof STEPS)[number];

export const STEP_TITLES: Readonly<Record<StepId, string>> = {
  safety: "Is it safe to handle?",
  device: "Which device is it?",
  model: "Which model is it?",
  who: "Who brings it?",
  complaint: "What is wrong?",
  marks: "How does it look?",
  lock: "Can it be unlocked?",
  tests: "What works now?",
  agreed: "What was agreed?",
  price: "What may it cost?",
  promise: "When will it be ready?",
  way: "How will it be repaired?",
  summary: "Is this right?",
};

/** An unsafe device is booked in with only what is needed to know whose it is: nothing is tested, charged, agreed or promised. */
const UNSAFE_STEPS: readonly StepId[] = ["safety", "device", "model", "who", "complaint", "summary"];

/** Whether an answer leads to the way of an unsafe device. */
export const isUnsafe = (booking: Pick<Booking, "safety">): boolean => unsafePaths(booking.safety).length > 0;

/** The steps this booking takes: no choice of procedure where there is none for the model. */
export const walkOf = (booking: Booking): readonly StepId[] =>
  isUnsafe(booking) ? UNSAFE_STEPS : STEPS.filter((step) => step !== "way" || proceduresFor(booking.model).length > 0);

export const proceduresFor = (model: string): readonly Procedure[] =>
  procedures().filter((p) => p.model.toLowerCase() === model.trim().toLowerCase());

export function after(booking: Booking): StepId {
  if (booking.toSummary) return "summary";
  const walk = walkOf(booking);
  return walk[walk.indexOf(booking.step) + 1] ?? "summary";
}

export function before(booking: Booking): StepId | null {
  const walk = walkOf(booking);
  return walk[walk.indexOf(booking.step) - 1] ?? null;
}

/** What a step still lacks, as one sentence; null when it can be left. */
export function wanted(booking: Booking, step: StepId): string | null {
  switch (step) {
    case "safety":
      return wantedOfSafety(booking);
    case "device":
      if (!isNumbered(booking)) {
        return "Scan or type the number, or say that none can be read.";
      }
      return openJobOf(booking) !== null && !booking.knowingly
        ? "This device has an open job. Go there, or book another one in knowingly."
        : null;
    case "model":
      return booking.model.trim() === "" ? "Choose the model or type it." : null;
    case "who":
      return booking.name.trim() === "" ? "Write the customer's name." : null;
    case "complaint":
      return booking.complaint.trim() === "" ? "Write down what the customer says." : null;
    case "marks":
      return booking.marks.some((m) => m.what === null) ? "Say what the mark is, or take it away." : null;
    case "lock":
      return booking.lock === null ? "Choose one of the two." : null;
    case "tests":
      return wantedOfTests(booking);
    case "agreed":
      return wantedOfAgreed(booking);
    case "price":
      if (booking.price === null) return "Choose one.";
      return booking.price === "limit" && limitMinor(booking.limit) === null
        ? "Write the limit as an amount, such as 80 or 79.50."
        : null;
    case "promise":
      return booking.promised_at_ms === null ? "Choose a time." : null;
    case "way":
    case "summary":
      return null;
  }
}

/** Whether the device is identified. */
export const isNumbered = (b: Booking): boolean => b.imei !== "" || b.serial !== "" || b.device !== null || b.noNumber;

/** The first step that is not complete; null when the booking can be written. */
export const firstWanting = (booking: Booking): StepId | null =>
  walkOf(booking).find((step) => wanted(booking, step) !== null) ?? null;

function wantedOfSafety({ safety }: Booking): string | null {
  if (isSafetyAnswered(safety)) return null;
  const open = QUESTIONS.filter(({ id }) => safety[id] === undefined).map(({ ask }) => ask);
  return `Answer by looking: ${open.join(" ")}`;
}

function wantedOfAgreed({ agreed, terms }: Booking): string | null {
  if (CONSENT_SLUGS.some((slug) => agreed[slug] === undefined)) return "Ask for each of them: agreed or not.";
  return agreed.warranty_terms === "yes" && shopTerms() !== "" && terms === null
    ? "Show the shop's terms, or say that they are not agreed."
    : null;
}

function wantedOfTests(booking: Booking): string | null {
  const open = openPoints(booking);
  if (open.length > 0) return `${open.length} points are open. Test them, or say why the rest cannot be tested.`;
  const silent = INTAKE_POINTS.find((p) => booking.tests[p]?.result === "cannot" && booking.tests[p].why.trim() === "");
  return silent === undefined ? null : `Say why "${testPoints[silent]?.name}" cannot be tested.`;
}

export const INTAKE_POINTS = pointsOf("intake");
export const INTAKE_GROUPS: readonly {
  readonly id: string;
  readonly name: string;
  readonly points: readonly string[];
}[] = Object.entries(testGroups)
  .map(([id, name]) => ({ id, name, points: INTAKE_POINTS.filter((p) => testPoints[p]?.group === id) }))
  .filter((group) => group.points.length > 0);

export const openPoints = (booking: Booking): readonly string[] =>
  INTAKE_POINTS.filter((p) => booking.tests[p] === undefined);

/** Ready reasons why a point cannot be tested (common practice, no source). */
export const CANNOT_WHY: readonly string[] = (["dead", "glass", "lacking", "no_sim", "no_means"] as const).map(
  (b) => becauseWord[b],
);

/** Open points that the model does not have, as its last device here showed. */
export function lackingPoints(booking: Booking): readonly string[] {
  const { lacks } = knownOf(booking.model, state.value.job.values());
  return openPoints(booking).filter((point) => lacks.has(point));
}

/** Whether a press for a whole group answers this point: every model has it, or the last device of this one had it. */
export function isExpected(booking: Booking, point: string): boolean {
  if (booking.tests[point]?.why === lackingWhy) return false;
  return testPoints[point]?.some_models !== true || knownOf(booking.model, state.value.job.values()).has.has(point);
}

/** Points of the sheet that are open and cannot be tested while the device stays locked. */
export const barredPoints = (booking: Booking): readonly string[] =>
  booking.lock === "locked" ? openPoints(booking).filter(isBarred) : [];

/** All points that the lock bars, each with its own reason. */
export const answeredLocked = (booking: Booking): Booking["tests"] => ({
  ...booking.tests,
  ...Object.fromEntries(barredPoints(booking).map((p) => [p, { result: "cannot" as const, why: lockedWhy(p) }])),
});

/** The way of testing changed: what the lock decides is open again. */
export function withLock(booking: Booking, lock: Lock): Pick<Booking, "lock" | "tests"> {
  if (lock === booking.lock) return { lock, tests: booking.tests };
  const kept = Object.entries(booking.tests).filter(
    ([point, reading]) => !(isBarred(point) || (reading.result === "cannot" && reading.why === lockedWhy(point))),
  );
  return { lock, tests: Object.fromEntries(kept) };
}

/** The same answer for some points. */
export function answered(booking: Booking, points: readonly string[], reading: DraftReading): Booking["tests"] {
  return { ...booking.tests, ...Object.fromEntries(points.map((p) => [p, reading])) };
}

const MOST_MINOR = 100_000_000;

/** An amount as a person types it, in hundredths; null when it is not an amount. */
export function limitMinor(text: string): number | null {
  const match = /^(\d{1,7})(?:[.,](\d{1,2}))?$/.exec(text.trim());
  if (match === null) return null;
  const minor = Number(match[1]) * 100 + Number((match[2] ?? "").padEnd(2, "0"));
  return minor > 0 && minor <= MOST_MINOR ? minor : null;
}

const DAY_MS = 24 * 3_600_000;

/** Jobs of the device of this booking, newest first. */
export function jobsOf(booking: Pick<Booking, "imei" | "serial" | "device">): readonly (readonly [string, Job])[] {
  const card = {
    ...(booking.imei === "" ? {} : { imei: booking.imei }),
    ...(booking.serial === "" ? {} : { serial: booking.serial }),
  };
  const codes = new Set(Object.keys(card).length === 0 ? [] : jobsOfDevice(card));
  const all = [...state.value.job].filter(
    ([code, job]) => codes.has(code) || (booking.device !== null && job.device === booking.device),
  );
  return all.sort(([, a], [, b]) => (b.booked_at_ms ?? 0) - (a.booked_at_ms ?? 0));
}

export const openJobOf = (booking: Pick<Booking, "imei" | "serial" | "device">): string | null =>
  jobsOf(booking).find(([, job]) => job.stage !== "handed_over")?.[0] ?? null;

/** Whether an earlier job is young enough to be a comeback. Null days: the shop has not said how long. */
export function mayBeComeback(job: Job, nowMs: number, warrantyDays: number | undefined): boolean {
  if (job.stage !== "handed_over" || job.stop !== null || job.handed_over === null || warrantyDays === undefined)
    return false;
  return nowMs - job.handed_over <= warrantyDays * DAY_MS;
}

/** A customer the shop knows by this telephone number or mail address. */
export function knownContact(phone: string, mail: string): { readonly ref: string; readonly card: ContactCard } | null {
  const digits = phone.replace(/[^0-9]/g, "");
  const address = mail.trim().toLowerCase();
  for (const doc of docs.value.values()) {
    if (doc.kind !== "contact" || doc.body === null) continue;
    const card = doc.body as ContactCard;
    const samePhone = digits.length >= SHORTEST_PHONE && card.phone?.replace(/[^0-9]/g, "") === digits;
    const sameMail = address.includes("@") && card.mail?.toLowerCase() === address;
    if (samePhone || sameMail) return { ref: doc.id, card };
  }
  return null;
}

const SHORTEST_PHONE = 6;

/** Who brought this device last time. */
export function lastContact(booking: Booking): { readonly ref: string; readonly card: ContactCard } | null {
  for (const [, job] of jobsOf(booking)) {
    const card = contactCard(job.contact);
    if (card !== null && job.contact !== null) return { ref: job.contact, card };
  }
  return null;
}
