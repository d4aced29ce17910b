/** log/texts.ts, facts/texts.ts, facts/reasons.ts, rules/because.ts: what people write stands in cards of its own (F7.9). */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import {
  BEFORE_JOB,
  bookIn,
  keepBooking,
  newBooking,
  newMark,
  readBooking,
  throwAwayBooking,
} from "@pwa/actions/book.ts";
import { moved } from "@pwa/actions/move.ts";
import { docs, load, state, takeDocs } from "@pwa/current.ts";
import type { Because } from "@pwa/events/kinds.gen.ts";
import { type TextBody, textId } from "@pwa/events/texts.ts";
import { answered, type Booking, INTAKE_POINTS } from "@pwa/facts/booking.ts";
import { reasonAgain, reasonOf } from "@pwa/facts/reasons.ts";
import { heldText, said } from "@pwa/facts/texts.ts";
import type { TextId } from "@pwa/fold/state.ts";
import { type Doc, withDb } from "@pwa/log/db.ts";
import { countSent, keepSent } from "@pwa/log/sentPhotos.ts";
import { becauseWords, reasonFor } from "@pwa/rules/because.ts";
import { lockedWhy } from "@pwa/rules/locked.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { blockingFinal } from "@pwa/rules/tests.ts";
import { lockedReason } from "@pwa/tables/testPoints.ts";
import { enums } from "@pwa/tables.ts";
import display from "@shared/procedures/quillet5-display.json";
import recordTable from "@shared/record.json";
import { beforeEach, describe, expect, test } from "vitest";
import { AGREED, aJob, newStation, reading, SAFE } from "./counterStation.ts";
import { cardOf, textOf } from "./texts.ts";

type Four = [string, string, string, string];
const JOB = "J7K200002Y";
const CORE = "C7K2000010";
/** In place of a text that is not here. */
const NO_TEXT = recordTable.lines.no_text;

const note = (text: string) => act(() => [{ kind: "note.added", job: JOB, body: { note: text } }]);
const ownTexts = async (): Promise<string> => (await withDb((db) => db.own.all())).map((row) => row.text).join("\n");
const cardsOut = (): Promise<readonly Doc[]> => withDb((db) => db.docsOut.all());
const bodyOf = (card: Doc | undefined): TextBody => card?.body as TextBody;
const notes = (): readonly string[] => state.value.job.get(JOB)?.notes.map((n) => said(n.note)) ?? [];

beforeEach(() => newStation());

describe("a text that is written", () => {
  test("stands in its card and not in the entry, which names it; both are durable", async () => {
    expect((await note("Brought by the sister")).ok).toBe(true);
    expect(await ownTexts()).not.toContain("sister");
    const [card, ...others] = await cardsOut();
    expect(others).toEqual([]);
    expect(card).toMatchObject({ kind: "text", body: { of: JOB, text: "Brought by the sister" } });
    expect(card?.id).toBe(await textId(bodyOf(card)));
    expect(await ownTexts()).toContain(`"note":"${card?.id}"`);
    docs.value = new Map();
    await load();
    expect(notes()).toEqual(["Brought by the sister"]);
  });

  test("is about the job, or without one about the first thing that its entry names", async () => {
    await act(() => [moved(CORE, "bin", "Broke in two")]);
    expect((await cardsOut()).map((card) => bodyOf(card).of)).toEqual([CORE]);
  });

  test("twice in the same words has two salts, so that nobody sees that they are the same", async () => {
    await act(() => ["same", "same"].map((text) => ({ kind: "note.added" as const, job: JOB, body: { note: text } })));
    const cards = await cardsOut();
    expect(cards.map((card) => bodyOf(card).text)).toEqual(["same", "same"]);
    expect(new Set(cards.map((card) => bodyOf(card).salt)).size).toBe(2);
    for (const card of cards) expect(bodyOf(card).salt).toMatch(/^[0-9A-HJKMNP-TV-Z]{26}$/);
    expect(notes()).toEqual(["same", "same"]);
  });

  test.each([
    ["too long", "a".repeat(601)],
    ["empty", ""],
    ["with a control character", "one\u0007two"],
    ["with half an emoji", "oh \ud83d"],
  ])("%s is a bug of the screen, and nothing is written", async (_, text) => {
    await expect(note(text)).rejects.toThrow("unsound text: note.added note");
    expect([await withDb((db) => db.own.count()), await cardsOut(), docs.value.size]).toEqual([0, [], 1]);
    expect((await note("🔧".repeat(600))).ok).toBe(true);
  });

  test("is told to other tabs with its entry", async () => {
    const other = new BroadcastChannel("traymark");
    const told = new Promise((resolve) => {
      other.onmessage = ({ data }) => data === "own" && resolve(data);
    });
    await note("for all tabs");
    expect(await told).toBe("own");
    other.close();
  });
});

describe("a text that is read", () => {
  test("is there, is not there yet, or was erased; what is searched or written again gets no word in its place", () => {
    const id = textOf("Keeps the old glass");
    const coming = cardOf("Not here yet").id as unknown as TextId;
    expect([said(id), heldText(id)]).toEqual(["Keeps the old glass", "Keeps the old glass"]);
    expect([said(coming), heldText(coming)]).toEqual([NO_TEXT, null]);
    takeDocs([{ id: id as unknown as string, kind: "text", rev: 9, body: null, of: JOB }]);
    expect([said(id), heldText(id)]).toEqual([NO_TEXT, null]);
    expect([said(null), heldText(null)]).toEqual([null, null]);
  });
});

describe("the reason on a reading", () => {
  const values = enums.because as readonly Because[];

  test.each(values)("%s is written by its value and read in its words", (because) => {
    const words = becauseWords("touch", because) as string;
    expect(words).toMatch(/^[A-Z].{5,}/);
    expect(reasonFor("touch", words)).toEqual({ because });
    expect(reasonOf("touch", reading("cannot", because))).toBe(words);
  });

  test("of a point that the lock bars says what it bars", () => {
    expect(lockedWhy("wifi")).toMatch(new RegExp(`^${lockedReason}\\. .+`));
    expect(reasonFor("wifi", lockedWhy("wifi"))).toEqual({ because: "locked" });
    expect(reasonFor("wifi", lockedReason)).toEqual({ because: "locked" });
    expect(reasonOf("wifi", reading("cannot", "locked"))).toBe(lockedWhy("wifi"));
  });

  test("in a person's own words is a text; beside a value it stands behind it", () => {
    expect(reasonFor("touch", "No socket")).toEqual({ why: "No socket" });
    expect(reasonFor("touch", "")).toEqual({});
    expect(reasonOf("touch", reading("cannot", null, "No socket"))).toBe("No socket");
    expect(reasonOf("touch", reading("cannot", "glass", "Cuts the finger"))).toBe("Glass too broken. Cuts the finger");
    expect([reasonOf("touch", reading("pass")), reasonOf("touch", undefined)]).toEqual([null, null]);
  });

  test("that is not here is shown as such and never written again", () => {
    const missing = { ...reading("cannot", "glass"), why: cardOf("Not here").id as unknown as TextId };
    expect(reasonOf("touch", missing)).toBe(`Glass too broken. ${NO_TEXT}`);
    expect(reasonAgain("touch", missing)).toBe("Glass too broken");
    expect(reasonAgain("touch", { ...missing, because: null })).toBeNull();
  });

  test("that says what was agreed closes a failure nobody could know of, also when it is a ready one", () => {
    const blocking = (final: ReturnType<typeof reading>) =>
      blockingFinal(
        aJob({ tests: { "intake/nfc": reading("cannot", "dead"), "final/nfc": final } }),
        display as unknown as Procedure,
      );
    expect(blocking(reading("fail"))).toEqual(["nfc"]);
    expect(blocking(reading("fail", null, "The customer knows"))).toEqual([]);
    expect(blocking(reading("fail", "no_means"))).toEqual([]);
    expect(blocking(reading("fail", "lost"))).toEqual(["nfc"]);
  });
});

describe("a booking", () => {
  const whole = (changed: Partial<Booking>): Booking => ({
    ...newBooking(),
    noNumber: true,
    model: "Quillet 5",
    name: "Nia",
    complaint: "Broken",
    lock: "locked",
    price: "open",
    promised_at_ms: 1,
    tests: answered(newBooking(), INTAKE_POINTS, { result: "pass", why: "" }),
    agreed: AGREED,
    safety: SAFE,
    ...changed,
  });

  test("that an older app kept with its reasons in words is written by their values", async () => {
    const words = { sim: "No SIM card", wifi: lockedWhy("wifi"), torch: lockedReason, touch: "The glass cuts" };
    const reasons = Object.entries(words).map(([point, why]) => [point, { result: "cannot" as const, why }]);
    await keepBooking(whole({ tests: { ...whole({}).tests, ...Object.fromEntries(reasons) } }));
    const kept = (await readBooking()) as Booking;
    expect(kept.tests.sim?.why).toBe("No SIM card");
    const booked = await bookIn(kept);
    const tests = state.value.job.get(booked.ok ? booked.value : "")?.tests ?? {};
    const read = Object.keys(words).map((point) => tests[`intake/${point}`]);
    expect(read.map((r) => r?.because)).toEqual(["no_sim", "locked", "locked", null]);
    expect(read.map((r) => said(r?.why ?? null))).toEqual([null, null, null, "The glass cuts"]);
  });

  test("that is thrown away leaves no draft and no photo of its own, sent or not", async () => {
    const [ofDevice, ofMark, other, otherSent] = ["a", "b", "c", "d"].map((letter) => letter.repeat(64)) as Four;
    const kept = (sha256: string, job: string) => ({ sha256, bytes: new ArrayBuffer(8), type: "", job, at_ms: 1 });
    await withDb((db) => db.photos.putMany([kept(ofDevice, BEFORE_JOB), kept(other, JOB)]));
    await keepSent(kept(ofMark, BEFORE_JOB), 1);
    await keepSent(kept(otherSent, JOB), 2);
    const taken = (sha256: string) => ({ sha256, bytes: 8, width: 4, height: 3 });
    const mark = { ...newMark("front", 1, 1), photos: [taken(ofMark)] };
    await keepBooking(whole({ photos: [taken(ofDevice)], marks: [mark] }));
    await throwAwayBooking();
    expect(await readBooking()).toBeUndefined();
    expect(await withDb((db) => db.photos.keys())).toEqual([other]);
    expect(await withDb((db) => db.photosSent.keys())).toEqual([otherSent]);
    expect(await countSent()).toEqual({ count: 1, bytes: 8 });
  });
});
