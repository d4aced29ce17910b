/** log/db.ts, own.ts: a store that hangs, that is full, and that several write to. Nothing is ever half-written. */
import "fake-indexeddb/auto";
import { actAs } from "@pwa/actions/act.ts";
import { load, ownOnTop, state } from "@pwa/current.ts";
import { getMeta, putMeta, type StationDb, type StationRow, StorageFailed, withDb } from "@pwa/log/db.ts";
import { firstRow, type NewEvent, record } from "@pwa/log/own.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";

const JOB = "J7K200003Z";
const LIMIT_MS = 8_000;

beforeEach(async () => {
  await withDb((db) => Promise.all(db.tables.map((table) => table.clear())));
  await putMeta("times_forgotten", 1 + Math.floor(1e9 * Math.random())); // what is folded in memory is of another test
  await putMeta(
    "station",
    await firstRow({ station: "S7K2", name: "Desk", role: "counter", shop: "Test shop", incarnation: "7K2" }),
  );
  await load();
});
afterEach(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
});

const note = (text: string): NewEvent => ({ kind: "note.added", job: JOB, body: { note: text } });
const row = async (): Promise<StationRow> => (await getMeta<StationRow>("station")) as StationRow;
const ownSeqs = async (): Promise<readonly number[]> => (await withDb((db) => db.own.toArray())).map((o) => o.seq);

/** Let storage work run until the time limit is what it waits for, then let the limit pass. */
async function letTheLimitPass(): Promise<void> {
  await vi.advanceTimersByTimeAsync(LIMIT_MS);
}

describe("a store that hangs", () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  });

  test("is read once more on a fresh connection", async () => {
    const used: StationDb[] = [];
    const reading = withDb(async (db) => {
      used.push(db);
      if (used.length === 1) await new Promise(() => undefined);
      return (await db.meta.get("station")) as StationRow;
    });
    await letTheLimitPass();
    vi.useRealTimers();
    expect((await reading).station).toBe("S7K2");
    expect(used[1]).not.toBe(used[0]);
    expect(used[0]?.isOpen()).toBe(false);
  });

  test("that hangs again is told, and the next work gets a connection of its own", async () => {
    const reading = withDb(() => new Promise(() => undefined));
    const told = expect(reading).rejects.toBeInstanceOf(StorageFailed);
    await letTheLimitPass();
    await letTheLimitPass();
    await told;
    vi.useRealTimers();
    expect((await row()).station).toBe("S7K2");
  });

  test("is not written to twice", async () => {
    let times = 0;
    const writing = withDb(() => {
      times += 1;
      return new Promise(() => undefined);
    }, "once");
    const told = expect(writing).rejects.toBeInstanceOf(StorageFailed);
    await letTheLimitPass();
    await told;
    expect(times).toBe(1);
  });

  test("does not take the fresh connection of somebody else with it", async () => {
    const first = await withDb(async (db) => db);
    let fail: (error: Error) => void = () => undefined;
    const slow = withDb(
      () =>
        new Promise((_, reject) => {
          fail = reject;
        }),
      "once",
    );
    const slowTold = expect(slow).rejects.toBeInstanceOf(StorageFailed);
    const other = expect(withDb(() => Promise.reject(new StorageFailed("lost")), "once")).rejects.toBeInstanceOf(
      StorageFailed,
    );
    await other;
    const fresh = await withDb(async (db) => db);
    expect(fresh).not.toBe(first);
    fail(new StorageFailed("lost too"));
    await slowTold;
    expect(await withDb(async (db) => db)).toBe(fresh);
  });

  test("events that were told as not saved do not turn up later", async () => {
    vi.useRealTimers();
    const opened = await withDb(async (db) => db);
    let release: () => void = () => undefined;
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    // The writing stands still inside its transaction, as in a tab that was frozen there.
    const original = opened.own.bulkAdd.bind(opened.own);
    vi.spyOn(opened.own, "bulkAdd").mockImplementation((async (...items: Parameters<typeof original>) => {
      await original(...items);
      for (let open = true; open; ) {
        await opened.own.count(); // keeps the transaction alive
        await Promise.race([held.then(() => (open = false)), opened.own.count()]);
      }
    }) as never);
    // The time limit passes as soon as the writing stands still.
    const timer = globalThis.setTimeout;
    vi.spyOn(globalThis, "setTimeout").mockImplementation(((run: () => void, ms?: number) =>
      timer(run, ms === LIMIT_MS ? 50 : ms)) as never);
    const written = await record("W0A1", 1, () => [note("not saved")]);
    release();
    vi.restoreAllMocks();
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    expect(await ownSeqs()).toEqual([]);
    expect((await row()).seq).toBe(0);
    expect((await record("W0A1", 2, () => [note("saved")])).ok).toBe(true);
    expect(await ownSeqs()).toEqual([1]);
  });
});

describe("a store that is full", () => {
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };

  test("at the events writes neither events nor counters", async () => {
    await actAs("W0A1", () => [note("before")]);
    const before = await row();
    const db = await withDb(async (d) => d);
    vi.spyOn(db.own, "bulkAdd").mockImplementation(full);
    const codes: string[] = [];
    const written = await actAs("W0A1", (pen) => {
      codes.push(pen.mint("C"), pen.mint("B"));
      return [note("one"), note("two")];
    });
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    vi.restoreAllMocks();
    expect(await row()).toEqual(before);
    expect(await ownSeqs()).toEqual([1]);
    expect(ownOnTop.value).toHaveLength(1);
    const again: string[] = [];
    await actAs("W0A1", (pen) => {
      again.push(pen.mint("C"), pen.mint("B"));
      return [note("one"), note("two")];
    });
    expect(again).toEqual(codes); // no counter was used up
    expect(state.value.job.get(JOB)?.notes.map((n) => n.note)).toEqual(["before", "one", "two"]);
  });

  test("only at the counters, after the events, takes the events back", async () => {
    const db = await withDb(async (d) => d);
    vi.spyOn(db.meta, "put").mockImplementation(full);
    const written = await actAs("W0A1", () => [note("one"), note("two")]);
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    vi.restoreAllMocks();
    expect(await ownSeqs()).toEqual([]);
    expect((await row()).seq).toBe(0);
    expect(ownOnTop.value).toEqual([]);
  });

  test("is not tried a second time and its connection goes on", async () => {
    let times = 0;
    const opened = await withDb(async (d) => d);
    const writing = withDb(() => {
      times += 1;
      return Promise.reject(new DOMException("no room", "QuotaExceededError"));
    });
    await expect(writing).rejects.toBeInstanceOf(StorageFailed);
    expect(times).toBe(1);
    expect(await withDb(async (d) => d)).toBe(opened);
  });
});

test("a bug in storage work is a bug and not a full phone", async () => {
  await expect(withDb(() => Promise.reject(new TypeError("bug")))).rejects.toBeInstanceOf(TypeError);
});

test("entries written at the same time get places one after another, and the chain holds", async () => {
  const texts = Array.from({ length: 20 }, (_, i) => `note ${i}`);
  const written = await Promise.all(texts.map((text) => actAs("W0A1", () => [note(text), note(`${text} again`)])));
  expect(written.every((w) => w.ok)).toBe(true);
  expect(await ownSeqs()).toEqual(Array.from({ length: 40 }, (_, i) => i + 1));
  expect(state.value.job.get(JOB)?.notes).toHaveLength(40);
  const shown = state.value;
  await load();
  expect(state.value.job.get(JOB)).toEqual(shown.job.get(JOB));
});
