/** An unsafe or wet device at the counter: the short booking, who may hand it out, and what the customer reads. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { bookIn, newBooking } from "@pwa/actions/book.ts";
import { handOver } from "@pwa/actions/handOver.ts";
import { stopJob } from "@pwa/actions/stop.ts";
import { signedOn, state } from "@pwa/current.ts";
import {
  after,
  answered,
  type Booking,
  firstWanting,
  INTAKE_POINTS,
  STEPS,
  walkOf,
  wanted,
} from "@pwa/facts/booking.ts";
import { said } from "@pwa/facts/texts.ts";
import { placeOfCode } from "@pwa/facts/things.ts";
import { withDb } from "@pwa/log/db.ts";
import type { Result } from "@pwa/problem.ts";
import { QUESTIONS, type SafetyAnswers, unsafePaths } from "@pwa/rules/safety.ts";
import { message } from "@pwa/views/message.ts";
import { customerSheet } from "@pwa/views/record.ts";
import cellTable from "@shared/cell.json";
import recordTable from "@shared/record.json";
import { beforeEach, describe, expect, test } from "vitest";
import { AGREED, know, newStation, SAFE } from "./counterStation.ts";
import { linesOf } from "./recordParts.ts";

const PHOTO = { sha256: "ab".repeat(32), bytes: 1000, width: 20, height: 10 };
const WORDS = { name: "Nia", shop: "Corner bench", phone: "", ticket: "J7K20 00018", promised: "" };
const slug = (result: Result<unknown>): string => (result.ok ? "ok" : result.problem.slug);
const jobOf = (code: string) => state.value.job.get(code) as NonNullable<ReturnType<typeof state.value.job.get>>;

const unsafe = (safety: SafetyAnswers, changed: Partial<Booking> = {}): Booking => ({
  ...newBooking(),
  noNumber: true,
  model: "Quillet 5",
  name: "Nia",
  complaint: "The back came off",
  safety: { ...SAFE, ...safety },
  ...changed,
});

/** What a usual booking has besides. */
const USUAL: Partial<Booking> = {
  lock: "locked",
  price: "open",
  promised_at_ms: 1,
  tests: answered(newBooking(), INTAKE_POINTS, { result: "pass", why: "" }),
  agreed: AGREED,
};

async function book(safety: SafetyAnswers, changed: Partial<Booking> = {}): Promise<string> {
  const done = await bookIn(unsafe(safety, changed));
  if (!done.ok) throw new Error(`${done.problem.slug}: ${done.problem.detail}`);
  return done.value;
}

beforeEach(() => newStation("lead"));

describe("the three questions", () => {
  test("stand before everything else, and all three want an answer", () => {
    expect(STEPS[0]).toBe("safety");
    expect(firstWanting(newBooking())).toBe("safety");
    expect(wanted({ ...newBooking(), safety: { wet: "no", hot: "yes" } }, "safety")).toContain("Does it bulge?");
    expect(wanted({ ...newBooking(), safety: SAFE }, "safety")).toBeNull();
  });
  test("each yes leads to its own way, the battery before the liquid", () => {
    expect(QUESTIONS.map(({ id }) => unsafePaths({ [id]: "yes" }))).toEqual([["liquid"], ["battery"], ["battery"]]);
    expect(unsafePaths({ wet: "yes", hot: "yes" })).toEqual(["battery", "liquid"]);
    expect(unsafePaths(SAFE)).toEqual([]);
  });
  test("a yes leaves out every test, lock, agreement, price and promise", () => {
    const walk = walkOf(unsafe({ bulging: "yes" }));
    expect(walk).toEqual(["safety", "device", "model", "who", "complaint", "summary"]);
    expect(after({ ...unsafe({ bulging: "yes" }), step: "complaint" })).toBe("summary");
    expect(walkOf(unsafe({}))).toContain("tests");
  });
});

describe("the short booking", () => {
  test("of a bulging device stops the job and puts it into the safe place", async () => {
    const code = await book({ bulging: "yes" }, { photos: [PHOTO] });
    const job = jobOf(code);
    expect(job).toMatchObject({
      booked: true,
      stage: "stopped",
      stop: { reason: "battery" },
      cell: "swollen",
      lock: null,
      promised_at_ms: null,
      price_limit_minor: null,
      consents: [],
      tests: {},
      safety: [{ at: "counter", wet: "no", bulging: "yes", hot: "no", photos: [PHOTO.sha256] }],
      findings: [],
    });
    expect(job.photos[PHOTO.sha256]?.use).toBe("battery");
    expect(placeOfCode(job.device ?? "")).toEqual({ kind: "at", to: "safe" });
  });
  test("of a wet device stops it for liquid and leaves it at the counter", async () => {
    const job = jobOf(await book({ wet: "yes" }));
    expect(job).toMatchObject({ stage: "stopped", stop: { reason: "liquid" }, cell: null, findings: [] });
    expect(placeOfCode(job.device ?? "")).toEqual({ kind: "at", to: "counter" });
  });
  test("of one that is wet and hot counts as the battery's", async () => {
    const job = jobOf(await book({ wet: "yes", hot: "yes" }));
    expect(job).toMatchObject({ stop: { reason: "battery" }, cell: "hot", findings: [] });
    expect(placeOfCode(job.device ?? "")).toEqual({ kind: "at", to: "safe" });
  });
  test("still wants to know whose it is", () => {
    expect(firstWanting(unsafe({ hot: "yes" }, { name: "" }))).toBe("who");
    expect(firstWanting(unsafe({ hot: "yes" }))).toBeNull();
  });
});

describe("handing it out", () => {
  test("nobody at the counter hands a swollen cell out; a lead does, with what the owner was told", async () => {
    const code = await book({ bulging: "yes" });
    const told = "Do not charge or press it; take it to the collection point today.";
    know({ id: "staff:W0A2", kind: "staff", body: { name: "Bo", role: "counter", badge_salt: "", badge_hash: "" } });
    signedOn.value = "W0A2";
    expect(slug(await handOver(code, "none", told))).toBe("lead-only");
    signedOn.value = "W0A1";
    const before = await withDb((db) => db.own.count());
    expect(slug(await handOver(code, "none"))).toBe("answer-missing");
    expect(slug(await handOver(code, "none", " "))).toBe("answer-missing");
    expect(await withDb((db) => db.own.count())).toBe(before);
    expect(slug(await handOver(code, "none", told))).toBe("ok");
    expect(jobOf(code)).toMatchObject({ stage: "handed_over", findings: [] });
    expect(said(jobOf(code).owner_told)).toBe(told);
    expect(placeOfCode(jobOf(code).device ?? "")).toEqual({ kind: "at", to: "customer" });
  });
  test.each(cellTable.unsafe_states.filter((s) => !cellTable.hand_out_states.includes(s)))(
    "a %s one stays, whoever asks",
    async (battery) => {
      const code = await book(SAFE, USUAL);
      await stopJob(code, "battery", "seen at the counter", battery as "hot");
      expect(jobOf(code)).toMatchObject({ stop: { reason: "battery" }, cell: battery });
      expect(slug(await handOver(code, "none", "told"))).toBe("unsafe-handed-over");
    },
  );
  test("a stop by hand that does not say how the battery is lets nobody hand it out", async () => {
    const code = await book(SAFE, USUAL);
    await act(() => [{ kind: "job.stopped", job: code, body: { reason: "battery", note: "looks odd" } }]);
    expect(slug(await handOver(code, "none", "told"))).toBe("unsafe-handed-over");
  });
});

describe("what the customer reads", () => {
  test("of a wet device: not to charge it, not to switch it on, then the data", async () => {
    const job = jobOf(await book({ wet: "yes" }));
    const text = message(job, { kind: "stop", reason: "liquid" }, WORDS);
    expect(text).toContain("Do not charge it and do not switch it on until somebody has dried and looked at it.");
    expect(text.indexOf("save your data")).toBeGreaterThan(text.indexOf("switch it on"));
    expect(text).not.toContain("We close the device");
    expect(customerSheet("J7K2000010", job).cautions).toEqual([recordTable.cautions.liquid]);
    expect(linesOf(customerSheet("J7K2000010", job).parts, "What was found")).toEqual(["It was wet when it came in"]);
  });
  test("of an unsafe battery: what not to do, and where it is", async () => {
    const job = jobOf(await book({ bulging: "yes" }));
    const text = message(job, { kind: "stop", reason: "battery" }, WORDS);
    expect(text).toContain("Do not use, charge or press the device.");
    expect(text).toContain(recordTable.places.safe);
    expect(text).not.toMatch(/pick it up|We close/);
    expect(customerSheet("J7K2000010", job).cautions).toEqual([recordTable.cautions.battery]);
    expect(linesOf(customerSheet("J7K2000010", job).parts, "What was found")).toEqual([
      "It bulged when it came in",
      "Battery swollen",
    ]);
  });
  test("with the cell taken out: that it has none", async () => {
    const job = { ...jobOf(await book({ bulging: "yes" })), cell: "out" as const, stage: "ready" as const };
    for (const kind of ["returned", "news"] as const) {
      const text = message(job, { kind }, WORDS);
      expect(text).toContain("The battery was not safe and was taken out. The device has none now.");
      expect(text).not.toContain("Do not use, charge or press");
    }
    expect(customerSheet("J7K2000010", job).cautions).toEqual([recordTable.cautions.battery_out]);
  });
  test("after a lead let work go on and it was repaired, nothing forbids to switch it on", async () => {
    const job = {
      ...jobOf(await book({ wet: "yes" })),
      stop: null,
      wet_lifted: true as const,
      stage: "ready" as const,
    };
    expect(customerSheet("J7K2000010", job).cautions).toEqual([recordTable.cautions.liquid_lifted]);
  });
});
