/** views/booking.ts, actions/book.ts: a booking from its draft to the job. */
import "fake-indexeddb/auto";
import {
  bookIn,
  keepBooking,
  newBooking,
  newMark,
  readBooking,
  readNumber,
  withNumber,
  withoutNumber,
} from "@pwa/actions/book.ts";
import { handOver } from "@pwa/actions/handOver.ts";
import { signedOn, state } from "@pwa/current.ts";
import { parse } from "@pwa/events/envelope.ts";
import { CONSENT_SLUGS, consents } from "@pwa/facts/agreement.ts";
import {
  after,
  answered,
  type Booking,
  before,
  firstWanting,
  INTAKE_POINTS,
  jobsOf,
  knownContact,
  limitMinor,
  mayBeComeback,
  openJobOf,
  STEPS,
  walkOf,
  wanted,
} from "@pwa/facts/booking.ts";
import { said } from "@pwa/facts/texts.ts";
import { placeOfCode } from "@pwa/facts/things.ts";
import { withDb } from "@pwa/log/db.ts";
import { fromField, quickPromises, toField } from "@pwa/views/promises.ts";
import { zoneName, zonesOf } from "@pwa/words/marks.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { AGREED, aJob, know, newStation, SAFE } from "./counterStation.ts";

const IMEI = "490154203237518"; // 3GPP TS 23.003 Annex B: its check digit is 8
const PHOTO = { sha256: "ab".repeat(32), bytes: 1000, width: 20, height: 10 };

function whole(changed: Partial<Booking> = {}): Booking {
  const blank = newBooking();
  const mark = { ...newMark("front", 400, 120), what: "crack" as const, note: "corner", photos: [PHOTO] };
  return {
    ...blank,
    step: "summary",
    imei: IMEI,
    model: "Quillet 5",
    name: "Nia",
    phone: "020 555 01",
    complaint: "Glass broken,\nfell on the stairs",
    marks: [mark],
    photos: [{ ...PHOTO, sha256: "cd".repeat(32) }],
    lock: "unlocked",
    tests: {
      ...answered(blank, INTAKE_POINTS, { result: "pass", why: "" }),
      touch: { result: "fail", why: "" },
      sim: { result: "cannot", why: "No SIM card" },
    },
    safety: SAFE,
    agreed: { ...AGREED, warranty_terms: "no" },
    price: "limit",
    limit: "79,50",
    promised_at_ms: 1_900_000_000_000,
    ...changed,
  };
}

const jobOf = (code: string) => state.value.job.get(code);

async function booked(changed: Partial<Booking> = {}): Promise<string> {
  const done = await bookIn(whole(changed));
  if (!done.ok) throw new Error(`${done.problem.slug}: ${done.problem.detail}`);
  return done.value;
}

beforeEach(() => newStation());

describe("booking in", () => {
  test("writes one unbroken run of entries that the fold takes without a finding", async () => {
    const code = await booked();
    const job = state.value.job.get(code);
    expect(job).toMatchObject({
      booked: true,
      stage: "booked",
      model: "Quillet 5",
      lock: "unlocked",
      consents: CONSENT_SLUGS.filter((slug) => slug !== "warranty_terms"),
      safety: [{ at: "counter", wet: "no", bulging: "no", hot: "no" }],
      cell: null,
      terms: null,
      price_limit_minor: 7950,
      promised_at_ms: 1_900_000_000_000,
      findings: [],
    });
    expect(said(job?.complaint ?? null)).toBe("Glass broken,\nfell on the stairs");
    expect(job?.tests["intake/touch"]?.result).toBe("fail");
    expect(job?.tests["intake/sim"]).toMatchObject({ result: "cannot", because: "no_sim", why: null });
    expect(Object.keys(job?.tests ?? {})).toHaveLength(INTAKE_POINTS.length);
    expect(Object.values(job?.marks ?? {})).toMatchObject([{ side: "front", what: "crack", photos: [PHOTO.sha256] }]);
    expect(Object.values(job?.marks ?? {}).map((m) => said(m.note))).toEqual(["corner"]);
    expect(
      Object.values(job?.photos ?? {})
        .map((p) => p.use)
        .sort(),
    ).toEqual(["intake", "mark"]);
    expect(placeOfCode(job?.device ?? "")).toEqual({ kind: "at", to: "counter" });
    const rows = await withDb((db) => db.own.all());
    expect(rows.map((r) => r.seq)).toEqual(rows.map((_, i) => i + 1));
  });

  test("personal data stands in the cards and nowhere in the log", async () => {
    const code = await booked({ mail: "nia@example.org" });
    const log = (await withDb((db) => db.own.all())).map((r) => r.text).join("\n");
    for (const secret of ["Nia", "555", "nia@", IMEI, "Glass", "stairs", "corner"]) expect(log).not.toContain(secret);
    const cards = await withDb((db) => db.docsOut.all());
    const job = state.value.job.get(code);
    expect(cards.find((c) => c.id === job?.contact)).toMatchObject({
      kind: "contact",
      body: { name: "Nia", phone: "020 555 01", mail: "nia@example.org" },
    });
    expect(cards.find((c) => c.id === job?.card)).toMatchObject({
      kind: "device",
      body: { imei: IMEI, model: "Quillet 5" },
    });
  });

  test("drops the draft, and only then", async () => {
    const draft = whole();
    await keepBooking(draft);
    signedOn.value = null;
    expect(await bookIn(draft)).toMatchObject({ ok: false, problem: { slug: "not-signed-on" } });
    expect(await readBooking()).toEqual(draft);
    signedOn.value = "W0A1";
    expect((await bookIn(draft)).ok).toBe(true);
    expect(await readBooking()).toBeUndefined();
  });

  test("a second try after a failure writes the same cards again, not others", async () => {
    const draft = whole();
    signedOn.value = null;
    await bookIn(draft);
    signedOn.value = "W0A1";
    await bookIn(draft);
    const cards = await withDb((db) => db.docsOut.all());
    expect(cards.map((c) => c.kind).sort()).toEqual(["contact", "device", "text", "text"]);
  });

  test("names the step that is still open and writes nothing", async () => {
    const refused = await bookIn(whole({ lock: null }));
    expect(refused).toMatchObject({ ok: false, problem: { slug: "booking-open" } });
    expect(await withDb((db) => db.own.count())).toBe(0);
    expect(await withDb((db) => db.docsOut.count())).toBe(0);
  });

  test("'call before any cost' is a limit of nothing, 'agreed already' is no limit", async () => {
    const call = await booked({ price: "call" });
    const agreed = await booked({ price: "open", knowingly: true });
    expect([jobOf(call)?.price_limit_minor, jobOf(agreed)?.price_limit_minor]).toEqual([0, null]);
  });

  test("no entry of a booking has a place for an unlock code", async () => {
    await booked();
    for (const row of await withDb((db) => db.own.all())) {
      const event = parse(row.text);
      if ("body" in event && event.kind === "job.booked") expect(Object.keys(event.body).sort()).not.toContain("code");
    }
    expect(Object.keys(newBooking()).filter((name) => /code|pin|pass/i.test(name))).toEqual([]);
  });
});

describe("a device that was here before", () => {
  test("keeps its device code and card, and its open job is shown", async () => {
    const first = await booked();
    const job = state.value.job.get(first);
    const again = withNumber(newBooking(), { imei: IMEI, serial: "", device: null }, () => "Quillet 5");
    expect(again).toMatchObject({ device: job?.device, cardRef: job?.card, model: "Quillet 5" });
    expect(openJobOf(again)).toBe(first);
    expect(wanted(again, "device")).toContain("open job");
    expect(wanted({ ...again, knowingly: true }, "device")).toBeNull();
  });

  test("its second job uses the same device, moved after the first move", async () => {
    const first = await booked();
    const device = state.value.job.get(first)?.device as string;
    await handOver(first, "scanned");
    const lent = withNumber(whole(), { imei: IMEI, serial: "", device: null }, () => "");
    const second = await bookIn(lent);
    expect(second.ok && state.value.job.get(second.value)?.device).toBe(device);
    expect(placeOfCode(device)).toEqual({ kind: "at", to: "counter" });
    expect(jobsOf(lent).map(([code]) => code)).toContain(first);
  });

  test("another number after all gets a card of its own", async () => {
    await booked();
    const lent = withNumber(newBooking(), { imei: IMEI, serial: "", device: null }, () => "");
    const other = { ...lent, ...withoutNumber() };
    expect(other.cardRef).not.toBe(lent.cardRef);
    expect(other.device).toBeNull();
  });

  test("is a possible comeback within the warranty after a repair, not after, and not when it was never repaired", () => {
    const DAY = 86_400_000;
    const repaired = aJob({ stage: "handed_over", handed_over: 0 });
    expect(mayBeComeback(repaired, 30 * DAY, 30)).toBe(true);
    expect(mayBeComeback(repaired, 30 * DAY + 1, 30)).toBe(false);
    expect(mayBeComeback(repaired, DAY, undefined)).toBe(false);
    const returned = aJob({
      stage: "handed_over",
      handed_over: 0,
      stop: { reason: "liquid", event: "7K2.1", staff: null, at_ms: 0 },
    });
    expect(mayBeComeback(returned, DAY, 30)).toBe(false);
  });
});

describe("the number", () => {
  test("15 digits with a right check digit are an IMEI, spaces forgiven", () => {
    expect(readNumber("49 015420 323751 8")).toEqual({ ok: true, value: { imei: IMEI, serial: "", device: null } });
  });
  test.each(["490154203237517", "49015420323751", "4901542032375180"])(
    "%s is refused as an IMEI and not taken as a serial number",
    (text) => {
      const read = readNumber(text);
      expect(read.ok ? null : read.problem.slug).toMatch(/^imei-/);
    },
  );
  test("letters and digits are a serial number in capitals", () => {
    expect(readNumber("f2lx-901a")).toEqual({ ok: true, value: { imei: "", serial: "F2LX-901A", device: null } });
  });
  test("a label of the shop that is not of a device is refused", async () => {
    const code = await booked();
    expect(readNumber(code)).toMatchObject({ ok: false, problem: { slug: "code-unreadable" } });
  });
  test("the device's own label finds it", async () => {
    const code = await booked();
    const device = jobOf(code)?.device as string;
    expect(readNumber(device)).toEqual({ ok: true, value: { imei: "", serial: "", device } });
  });
  test("too little is nothing", () => expect(readNumber("A1").ok).toBe(false));
});

describe("the walk", () => {
  test("goes through every step once and ends at the summary", () => {
    let booking = newBooking();
    const walked = [booking.step];
    while (booking.step !== "summary") {
      booking = { ...booking, step: after(booking) };
      walked.push(booking.step);
    }
    expect(walked).toEqual(walkOf(booking));
    expect(before({ ...booking, step: "safety" })).toBeNull();
    expect(before({ ...booking, step: "device" })).toBe("safety");
  });
  test("the choice of a procedure is there only where the model has one", () => {
    know({ id: "procedure:q.1", kind: "procedure", body: { id: "q", rev: 1, model: "Quillet 5" } });
    expect(walkOf({ ...newBooking(), model: "quillet 5 " })).toContain("way");
    expect(walkOf({ ...newBooking(), model: "Other" })).not.toContain("way");
  });
  test("a step that was opened from the summary leads back there", () => {
    expect(after({ ...newBooking(), step: "who", toSummary: true })).toBe("summary");
  });
  test("an empty booking wants something at every step but the free ones", () => {
    const free = STEPS.filter((step) => wanted(newBooking(), step) === null);
    expect(free).toEqual(["marks", "way", "summary"]);
  });
  test("a whole booking wants nothing", () => expect(firstWanting(whole())).toBeNull());
  test("a refused consent is an answer, a missing one is not", () => {
    const all = Object.fromEntries(CONSENT_SLUGS.map((slug) => [slug, "no" as const]));
    expect(wanted(whole({ agreed: all }), "agreed")).toBeNull();
    expect(wanted(whole({ agreed: { data_loss: "yes" } }), "agreed")).not.toBeNull();
  });
  test("'cannot be tested' needs its reason", () => {
    const tests = answered(whole(), ["touch"], { result: "cannot", why: " " });
    expect(wanted(whole({ tests }), "tests")).toContain("Touch");
  });
  test("a mark without a kind is not left behind", () => {
    expect(wanted(whole({ marks: [newMark("back", 1, 1)] }), "marks")).not.toBeNull();
  });
});

describe("the agreement", () => {
  const shop = (terms: string) => know({ id: "shop", kind: "settings", body: { terms } });
  test("nobody is said to have read terms that the shop did not enter", () => {
    const said = () => consents().map(({ say }) => say);
    expect(said().join(" ")).not.toMatch(/read the shop's terms|as the shop's terms say/);
    shop("We keep a device for a year.");
    expect(said().join(" ")).toMatch(/has read the shop's terms/);
  });
  test("terms that the shop entered are shown before they are agreed, and the job names their revision", async () => {
    shop("We keep a device for a year.");
    expect(wanted(whole({ agreed: AGREED }), "agreed")).toContain("Show the shop's terms");
    expect(wanted(whole(), "agreed")).toBeNull();
    const code = await booked({ agreed: AGREED, terms: 4 });
    expect(jobOf(code)).toMatchObject({ terms: 4, consents: CONSENT_SLUGS });
  });
});

describe("a booking that an older app left unfinished", () => {
  test("is asked what it lacks", async () => {
    const { safety: _, terms: __, ...older } = whole({ step: "lock" });
    await keepBooking(older as Booking);
    const kept = await readBooking();
    expect(kept).toMatchObject({ step: "lock", safety: {}, terms: null });
    expect(firstWanting(kept as Booking)).toBe("safety");
  });
});

describe("small readings", () => {
  test.each([
    ["80", 8000],
    ["79.50", 7950],
    ["79,5", 7950],
    [" 12 ", 1200],
  ] as const)("%s is an amount", (text, minor) => {
    expect(limitMinor(text)).toBe(minor);
  });
  test.each(["", "0", "-5", "1.234", "80 euro", "1e3", "99999999"])("%s is none", (text) =>
    expect(limitMinor(text)).toBeNull(),
  );
  test("a moment survives the date-and-time field", () => {
    const ms = new Date(2031, 4, 6, 17, 45).getTime();
    expect(fromField(toField(ms))).toBe(ms);
    expect(fromField("")).toBeNull();
  });
  test("quick promises lie in the future and on whole quarters", () => {
    const now = new Date(2031, 4, 6, 16, 20, 33).getTime();
    for (const { at_ms } of quickPromises(now)) {
      expect(at_ms).toBeGreaterThan(now);
      expect(at_ms % 900_000).toBe(0);
    }
    expect(quickPromises(now).map((p) => p.name)).toContain("This evening");
    expect(quickPromises(now + 3_600_000).map((p) => p.name)).not.toContain("This evening");
  });
  test("no two quick promises are for the same time, at any minute of a day", () => {
    const start = new Date(2031, 4, 6).getTime();
    for (let minute = 0; minute < 24 * 60; minute += 1) {
      const times = quickPromises(start + minute * 60_000).map((p) => p.at_ms);
      expect(new Set(times).size, `minute ${minute}`).toBe(times.length);
    }
  });
  test("each zone's own place has the zone's name", () => {
    for (const side of ["front", "back", "edge"] as const)
      for (const z of zonesOf(side)) expect(zoneName(z.x_pm, z.y_pm)).toBe(z.name);
    expect(new Set(zonesOf("front").map((z) => z.name)).size).toBe(9);
    expect(zonesOf("edge").map((z) => z.name)).not.toContain("middle");
    expect([zoneName(0, 0), zoneName(1000, 1000)]).toEqual(["upper left", "lower right"]);
  });
  test("a customer is known by the digits of the telephone number, not by an empty one", () => {
    know({ id: "a".repeat(20), kind: "contact", body: { name: "Nia", phone: "+44 20 555 01", mail: "" } });
    know({ id: "b".repeat(20), kind: "contact", body: null });
    expect(knownContact("44-20-555-01", "")?.card.name).toBe("Nia");
    expect(knownContact("", "")).toBeNull();
    expect(knownContact("01", "")).toBeNull();
  });
});
