/** actions/handOver.ts, actions/stop.ts, actions/tell.ts: what the counter may write, and what it is refused. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { bookIn, newBooking } from "@pwa/actions/book.ts";
import { checkEnd, checkScan, comparedNumber, handOver } from "@pwa/actions/handOver.ts";
import { liftStop, stopJob } from "@pwa/actions/stop.ts";
import { addNote, promise, tellCustomer } from "@pwa/actions/tell.ts";
import { state } from "@pwa/current.ts";
import { answered, INTAKE_POINTS } from "@pwa/facts/booking.ts";
import { said } from "@pwa/facts/texts.ts";
import { placeOfCode } from "@pwa/facts/things.ts";
import { withDb } from "@pwa/log/db.ts";
import type { Result } from "@pwa/problem.ts";
import { owed } from "@pwa/views/status.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { AGREED, newStation, SAFE } from "./counterStation.ts";

const IMEI = "490154203237518";
let code = "";
const job = () => state.value.job.get(code) as NonNullable<ReturnType<typeof state.value.job.get>>;
const slug = (result: Result<unknown>): string => (result.ok ? "ok" : result.problem.slug);

async function book(number: { imei?: string; noNumber?: boolean }): Promise<string> {
  const blank = newBooking();
  const done = await bookIn({
    ...blank,
    ...number,
    model: "Quillet 5",
    name: "Nia",
    complaint: "Broken",
    lock: "locked",
    price: "open",
    promised_at_ms: 1,
    tests: answered(blank, INTAKE_POINTS, { result: "pass", why: "" }),
    agreed: AGREED,
    safety: SAFE,
  });
  if (!done.ok) throw new Error(done.problem.detail);
  return done.value;
}

beforeEach(async () => {
  await newStation("lead");
  code = await book({ imei: IMEI });
});

describe("comparing the device", () => {
  test("its label, its IMEI and nothing else are this device", async () => {
    expect(slug(checkScan(code, job().device ?? ""))).toBe("ok");
    expect(slug(checkScan(code, IMEI))).toBe("ok");
    expect(slug(checkScan(code, "356938035643809"))).toBe("device-mismatch");
    const other = await book({ noNumber: true });
    expect(slug(checkScan(code, state.value.job.get(other)?.device ?? ""))).toBe("device-mismatch");
    expect(slug(checkScan(code, code))).toBe("device-mismatch");
    expect(slug(checkScan(code, "nonsense"))).toBe("code-unreadable");
  });
  test("the last four of its number are typed, not shown and confirmed", () => {
    expect(slug(checkEnd(code, "7518"))).toBe("ok");
    expect(slug(checkEnd(code, "7519"))).toBe("device-mismatch");
    expect(slug(checkEnd(code, "518"))).toBe("device-mismatch");
    expect(slug(checkEnd(code, ""))).toBe("device-mismatch");
  });
  test("a device without a number has nothing to compare", async () => {
    const other = await book({ noNumber: true });
    expect(comparedNumber(other)).toBeNull();
    expect(slug(checkEnd(other, ""))).toBe("device-mismatch");
  });
});

describe("handing over", () => {
  test("ends the job and moves the device, in one entry after the other", async () => {
    expect(slug(await handOver(code, "scanned"))).toBe("ok");
    expect(job()).toMatchObject({ stage: "handed_over", findings: [] });
    expect(placeOfCode(job().device ?? "")).toEqual({ kind: "at", to: "customer" });
  });
  test("is refused from the bench and leaves no entry", async () => {
    await act(() => [{ kind: "job.started", job: code, body: { procedure: "quillet5-display", revision: 1 } }]);
    const count = await withDb((db) => db.own.count());
    expect(slug(await handOver(code, "scanned"))).toBe("not-ready");
    expect(await withDb((db) => db.own.count())).toBe(count);
  });
  test("is refused a second time", async () => {
    await handOver(code, "scanned");
    expect(slug(await handOver(code, "scanned"))).toBe("job-closed");
  });
  test("is refused for a job nobody knows", async () =>
    expect(slug(await handOver("J7K2ZZZZZZ", "none"))).toBe("code-unknown"));
});

describe("stopping and lifting", () => {
  test("a stop with its reason, told, is then to be handed back", async () => {
    expect(slug(await stopJob(code, "customer", " changed their mind "))).toBe("ok");
    expect(job()).toMatchObject({ stage: "stopped", stop: { reason: "customer" } });
    await tellCustomer(code, "in_person", { kind: "stop", reason: "customer" });
    expect(owed(job(), 0).act.do).toBe("hand_over");
  });
  test("a lead lifts it; the reason stays, and a second stop has to be told again", async () => {
    await stopJob(code, "liquid", "seen at the counter");
    await tellCustomer(code, "call", { kind: "stop", reason: "liquid" });
    expect(slug(await liftStop(code, "It was condensation"))).toBe("ok");
    expect(job()).toMatchObject({ stage: "bench", stop: null });
    expect(job().lifts.map((lift) => said(lift.why))).toEqual(["It was condensation"]);
    await stopJob(code, "liquid", "seen at the counter");
    expect(owed(job(), 0).act).toMatchObject({ do: "tell" });
  });
  test("nobody but a lead lifts, and nothing that is not stopped is lifted", async () => {
    expect(slug(await liftStop(code, "why"))).toBe("not-stopped");
    await stopJob(code, "liquid", "seen at the counter");
    await newStation("counter");
    code = await book({ imei: IMEI });
    await stopJob(code, "liquid", "seen at the counter");
    expect(slug(await liftStop(code, "why"))).toBe("lead-only");
    expect(job().stage).toBe("stopped");
  });
  test("a stop can be lifted after closing up too, not once the device is away", async () => {
    await stopJob(code, "parts", "none to be had");
    await act(() => [{ kind: "leftover.checked", job: code, body: { photos: [], traces: "removed" } }]);
    expect(job()).toMatchObject({ stage: "ready", stop: { reason: "parts" } });
    expect(slug(await liftStop(code, "the part came"))).toBe("ok");
    expect(job()).toMatchObject({ stage: "bench", stop: null, findings: [] });
    await stopJob(code, "parts", "none to be had");
    await act(() => [{ kind: "leftover.checked", job: code, body: { photos: [], traces: "removed" } }]);
    await handOver(code, "scanned");
    expect(slug(await liftStop(code, "why"))).toBe("not-stopped");
  });
  test("a job that was handed over is neither stopped nor promised anew", async () => {
    await handOver(code, "scanned");
    expect(slug(await stopJob(code, "other", ""))).toBe("job-closed");
    expect(slug(await promise(code, 5, "later", null))).toBe("job-closed");
  });
});

describe("promises and notes", () => {
  test("a new promise keeps the price limit unless a new one is named", async () => {
    await promise(code, 5_000, "part late", null);
    expect(job()).toMatchObject({ promised_at_ms: 5_000, price_limit_minor: null });
    await promise(code, 6_000, "more work", 9_900);
    expect(job()).toMatchObject({ promised_at_ms: 6_000, price_limit_minor: 9_900 });
    expect(job().promises.map((p) => said(p.why))).toEqual(["part late", "more work"]);
    expect(owed(job(), 0).act).toMatchObject({ do: "tell", telling: { kind: "promise" } });
    await tellCustomer(code, "message", { kind: "promise" });
    expect(owed(job(), 0).act.do).toBe("nothing");
  });
  test("pasted control characters and half an emoji do not make an entry unsound", async () => {
    expect(slug(await addNote(code, " one\u000btwo\r\nthree\u0085 \ud83d"))).toBe("ok");
    expect(job().notes.map((n) => said(n.note))).toEqual(["one two\nthree"]);
  });
  test("a note may follow after hand-over", async () => {
    await handOver(code, "scanned");
    expect(slug(await addNote(code, "came back for the bag"))).toBe("ok");
    expect(job().notes).toHaveLength(1);
  });
});
