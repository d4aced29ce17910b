/** Booking in: the draft from its start to the one entry that makes it a job. */
import { readScan } from "../codes/scanned.ts";
import { state } from "../current.ts";
import { newRef, newToken } from "../device/random.ts";
import type { Event } from "../events/envelope.ts";
import {
  type Booking,
  type DraftMark,
  firstWanting,
  isUnsafe,
  jobsOf,
  limitMinor,
  STEP_TITLES,
  wanted,
} from "../facts/booking.ts";
import { newestProcedure } from "../facts/catalogue.ts";
import { isAway, isFromArchive } from "../facts/things.ts";
import type { NewEvent, Pen } from "../log/append.ts";
import { writing } from "../log/db.ts";
import { dropPhotosIn } from "../log/sentPhotos.ts";
import { ok, type Problem, type Result, refuse } from "../problem.ts";
import { reasonFor } from "../rules/because.ts";
import { unsafePaths } from "../rules/safety.ts";
import { CALL_FIRST } from "../rules/telling.ts";
import { countAndSync } from "../sync/loop.ts";
import { act, writeCard } from "./act.ts";
import { askLater } from "./archive.ts";
import { dropDraft, keepDraft, readDraft } from "./drafts.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { photoTaken } from "./photo.ts";
import { written } from "./written.ts";

/** One booking at a time on a station. */
const DRAFT = "booking";
/** What kept photos of a booking are filed under until it has its code. */
export const BEFORE_JOB = "booking";

/** The booking that was left unfinished; one that an older version of the app kept gets what it lacks. */
export async function readBooking(): Promise<Booking | undefined> {
  const kept = await readDraft<Partial<Booking>>(DRAFT);
  return kept === undefined ? undefined : { ...newBooking(), ...kept };
}
export const keepBooking = (booking: Booking): Promise<void> => keepDraft(DRAFT, booking);

/** Throw the unfinished booking away with its photos, both or neither: nothing of it stays here. */
export async function throwAwayBooking(): Promise<void> {
  const booking = await readBooking();
  const photos = [...(booking?.photos ?? []), ...(booking?.marks ?? []).flatMap((mark) => mark.photos)];
  const hashes = photos.map((photo) => photo.sha256);
  await writing(["drafts", "photos", "photosSent", "meta"], async (db) => {
    await db.drafts.delete(DRAFT);
    await dropPhotosIn(db, hashes);
  });
  countAndSync();
}

/** An empty booking; its refs and token are drawn now, so that a second try writes the same cards. */
export function newBooking(imei = ""): Booking {
  return {
    step: "safety",
    toSummary: false,
    safety: {},
    cardRef: newRef(),
    contactRef: newRef(),
    ticket: newToken(),
    imei,
    serial: "",
    noNumber: false,
    device: null,
    knowingly: false,
    model: "",
    name: "",
    phone: "",
    mail: "",
    complaint: "",
    side: "front",
    marks: [],
    editing: null,
    photos: [],
    lock: null,
    tests: {},
    agreed: {},
    terms: null,
    price: null,
    limit: "",
    promised_at_ms: null,
    procedure: null,
  };
}

/** A ref for somebody the shop does not know yet. */
export const newContactRef = newRef;

/** A new mark at a place; what it is comes next. Its slug is random, so that marks of two stations never meet. */
export const newMark = (side: DraftMark["side"], x_pm: number, y_pm: number): DraftMark => ({
  id: `m-${newRef()}`,
  side,
  x_pm,
  y_pm,
  what: null,
  note: "",
  photos: [],
});

export type DeviceNumber = Pick<Booking, "imei" | "serial" | "device">;
const SERIAL = /^[0-9A-Z][0-9A-Z./-]{3,39}$/;

/**
 * What was scanned or typed as the number of the device: an IMEI, the shop's own label from an earlier job, else a serial number.
 * `imei-length`, `imei-check-failed`, `code-unknown`, `code-check-failed`, `code-unreadable`.
 */
export function readNumber(text: string): Result<DeviceNumber> {
  const scanned = readScan(text);
  if (scanned.ok && scanned.value.is === "imei") return ok({ imei: scanned.value.imei, serial: "", device: null });
  if (scanned.ok && scanned.value.is === "code" && scanned.value.kind === "D") return byLabel(scanned.value.code);
  if (scanned.ok && scanned.value.is !== "other")
    return refuse("code-unreadable", "This is a label of the shop, but not of a device.");
  if (!scanned.ok && scanned.problem.slug === "imei-check-failed") return scanned;
  if (/^[0-9]{13,17}$/.test(text.replace(/[\s-]/g, ""))) return refuse("imei-length");
  const serial = text.replace(/\s/g, "").toUpperCase();
  return SERIAL.test(serial) ? ok({ imei: "", serial, device: null }) : refuse("code-unreadable");
}

function byLabel(device: string): Result<DeviceNumber> {
  const isKnown = isAway(device) || (state.value.thing.get(device)?.job ?? null) !== null;
  return isKnown ? ok({ imei: "", serial: "", device }) : refuse("code-unknown", device);
}

/** The booking with this number; an earlier job lends its device code, card and model. */
export function withNumber(booking: Booking, number: DeviceNumber, cardModel: (ref: string) => string): Booking {
  const [last] = jobsOf(number);
  const fresh = { ...booking, ...number, noNumber: false, knowingly: false };
  if (last === undefined) return fresh;
  const [, job] = last;
  const model = (job.card === null ? "" : cardModel(job.card)) || (job.model ?? "");
  const lent = job.device !== null && isFromArchive(job.device) ? number.device : job.device;
  return { ...fresh, device: lent, cardRef: job.card ?? booking.cardRef, model: booking.model || model };
}

/** Another device after all: its card is a new one, so that the first device keeps its own. */
export const withoutNumber = (): Partial<Booking> => ({
  cardRef: newRef(),
  imei: "",
  serial: "",
  device: null,
  noNumber: false,
  knowingly: false,
});

/**
 * Book the device in: the cards, then one entry with everything. Returns the job's code.
 * `booking-open` while an answer is missing; `not-signed-on`, `storage-failed`.
 */
export const bookIn = onePress(async (booking: Booking): Promise<Result<string>> => {
  const open = firstWanting(booking);
  if (open !== null) return refuse("booking-open", `${STEP_TITLES[open]} ${wanted(booking, open)}`);
  const cards = await writeCards(booking);
  if (cards !== null) return { ok: false, problem: cards };
  const done = await act((pen) => entries(booking, pen));
  if (!done.ok) return done;
  // A crash before this line leaves the draft; the device step then shows the job that is already open.
  await dropDraft(DRAFT);
  await askLater(done.value[0]?.job as string, booking);
  return ok(done.value[0]?.job as string);
});

/** Put the device somewhere. */
export const place = (device: string, to: string): Promise<Result<readonly Event[]>> => act(() => [moved(device, to)]);

async function writeCards(booking: Booking): Promise<Problem | null> {
  const { name, phone, mail, imei, serial, model } = booking;
  const contact = await writeCard(booking.contactRef, "contact", filled({ name, phone, mail }));
  if (!contact.ok) return contact.problem;
  // A device known by its label alone keeps the card it has.
  if (booking.device !== null && imei === "" && serial === "") return null;
  const device = await writeCard(booking.cardRef, "device", filled({ imei, serial, model }));
  return device.ok ? null : device.problem;
}

function filled(body: Readonly<Record<string, string>>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(body)
      .map(([key, value]) => [key, value.trim()] as const)
      .filter(([, value]) => value !== ""),
  );
}

function entries(booking: Booking, pen: Pen): readonly NewEvent[] {
  const job = pen.mint("J");
  // The label of a device that was put away names it no longer: it gets a new one.
  const isLive = booking.device !== null && !isAway(booking.device) && !isFromArchive(booking.device);
  const device = isLive ? (booking.device as string) : pen.mint("D");
  if (isUnsafe(booking)) return unsafeEntries(booking, job, device);
  return [
    { kind: "job.booked", job, body: { ...known(booking, device), ...agreement(booking) } },
    safetyChecked(job, booking, []),
    ...condition(booking, job),
    ...booking.photos.map((p) => photoTaken(job, "intake", p)),
    ...Object.entries(booking.tests).map(([point, { result, why }]): NewEvent => {
      return { kind: "test.read", job, body: { stage: "intake", point, result, ...reasonFor(point, written(why)) } };
    }),
    moved(device, "counter"),
  ];
}

/** Whose it is, what was seen, and where it lies; the fold stops the job by the answers. Of a battery it is the safe place. */
function unsafeEntries(booking: Booking, job: string, device: string): readonly NewEvent[] {
  const isBattery = unsafePaths(booking.safety).includes("battery");
  const use = isBattery ? "battery" : "liquid";
  const photos = booking.photos.map((p) => p.sha256).slice(0, MOST_PHOTOS);
  return [
    { kind: "job.booked", job, body: { ...known(booking, device), consents: [] } },
    ...booking.photos.map((p) => photoTaken(job, use, p)),
    safetyChecked(job, booking, photos),
    ...condition(booking, job),
    moved(device, isBattery ? "safe" : "counter"),
  ];
}

/** `photos` of `safety.checked` holds as many. */
export const MOST_PHOTOS = 8;

function safetyChecked(job: string, { safety }: Booking, photos: readonly string[]): NewEvent {
  const { wet = "no", bulging = "no", hot = "no" } = safety;
  return { kind: "safety.checked", job, body: { at: "counter", wet, bulging, hot, photos } };
}

type Booked = Extract<NewEvent, { kind: "job.booked" }>["body"];
/** Whose device it is and what is wrong. */
type Known = Pick<Booked, "device" | "card" | "contact" | "model" | "complaint" | "ticket">;

function known(booking: Booking, device: string): Known {
  return {
    device,
    card: booking.cardRef,
    contact: booking.contactRef,
    model: written(booking.model),
    complaint: written(booking.complaint),
    ticket: booking.ticket,
  };
}

function agreement(booking: Booking): Omit<Booked, keyof Known> {
  const way = newestProcedure(booking.procedure);
  const limit = booking.price === "call" ? CALL_FIRST : booking.price === "limit" ? limitMinor(booking.limit) : null;
  return {
    lock: booking.lock ?? "locked",
    consents: Object.entries(booking.agreed)
      .filter(([, answer]) => answer === "yes")
      .map(([slug]) => slug),
    ...(limit === null ? {} : { price_limit_minor: limit }),
    promised_at_ms: booking.promised_at_ms ?? 0,
    ...(booking.terms === null ? {} : { terms: booking.terms }),
    ...(way === null ? {} : { procedure: way.id, revision: way.rev }),
  };
}

/** Marks on the outside, with their photos. */
function condition(booking: Booking, job: string): readonly NewEvent[] {
  const marks = booking.marks.filter((m) => m.what !== null);
  return [
    ...marks.map((m) => marked(job, m)),
    ...marks.flatMap((m) => m.photos.map((p) => photoTaken(job, "mark", p))),
  ];
}

function marked(job: string, mark: DraftMark): NewEvent {
  const { id, side, x_pm, y_pm, note } = mark;
  const said = written(note) === "" ? {} : { note: written(note) };
  const photos = mark.photos.map((p) => p.sha256);
  return {
    kind: "mark.noted",
    job,
    body: { mark: id, side, what: mark.what ?? "scratch", x_pm, y_pm, ...said, photos },
  };
}
