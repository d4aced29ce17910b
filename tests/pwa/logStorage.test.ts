/** log/db.ts, append.ts: a store that hangs, that is full, and that several write to. Nothing is ever half-written. */
import "fake-indexeddb/auto";
import { actAs } from "@pwa/actions/act.ts";
import { docs, load, ownOnTop, state } from "@pwa/current.ts";
import { newToken } from "@pwa/device/random.ts";
import type { TextBody } from "@pwa/events/texts.ts";
import { said } from "@pwa/facts/texts.ts";
import { append, type NewEvent } from "@pwa/log/append.ts";
import { getMeta, putMeta, reading, type StationRow, StorageFailed, withDb, writing } from "@pwa/log/db.ts";
import { firstRow } from "@pwa/log/own.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";

const JOB = "J7K200003Z";
const LIMIT_MS = 8_000;

beforeEach(async () => {
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
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
/** How often the browser was asked for a connection, and how many were closed. */
const connections = () => ({ opened: vi.spyOn(indexedDB, "open"), closed: vi.spyOn(IDBDatabase.prototype, "close") });
const ownSeqs = async (): Promise<readonly number[]> => (await withDb((db) => db.own.all())).map((o) => o.seq);

/** The texts that wait to be sent, by their words. */
const textsOut = async (): Promise<readonly string[]> =>
  (await withDb((db) => db.docsOut.all())).map((d) => (d.body as TextBody).text).sort();

/** Let storage work run until the time limit is what it waits for, then let the limit pass. */
async function letTheLimitPass(): Promise<void> {
  await vi.advanceTimersByTimeAsync(LIMIT_MS);
}

describe("a store that hangs", () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  });

  test("is read once more on a fresh connection", async () => {
    const { opened, closed } = connections();
    let times = 0;
    const reading = withDb(async (db) => {
      times += 1;
      if (times === 1) await new Promise(() => undefined);
      return db.meta.read<StationRow>("station");
    });
    await letTheLimitPass();
    vi.useRealTimers();
    expect((await reading)?.station).toBe("S7K2");
    expect([times, opened.mock.calls.length, closed.mock.calls.length]).toEqual([2, 1, 1]);
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

  test("may take its time while a start reads it", async () => {
    const { opened } = connections();
    let goOn: () => void = () => undefined;
    const slow = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    const found = reading(["meta"], async (db) => {
      const read = await db.meta.read<StationRow>("station");
      await slow;
      return read;
    });
    await letTheLimitPass();
    await letTheLimitPass();
    goOn();
    vi.useRealTimers();
    expect((await found)?.station).toBe("S7K2");
    expect(opened).not.toHaveBeenCalled();
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
    const { opened } = connections();
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
    await row();
    expect(opened).toHaveBeenCalledTimes(1);
    fail(new StorageFailed("lost too"));
    await slowTold;
    await row();
    expect(opened).toHaveBeenCalledTimes(1);
  });

  test("events that were told as not saved do not turn up later", async () => {
    vi.useRealTimers();
    // The writing stands still inside its transaction, as in a tab that was frozen there: each request keeps it open.
    let frozen = true;
    const add = IDBObjectStore.prototype.add;
    vi.spyOn(IDBObjectStore.prototype, "add").mockImplementation(function (this: IDBObjectStore, value: unknown) {
      const stay = (): void => {
        if (frozen) this.count().onsuccess = stay;
      };
      stay();
      return add.call(this, value);
    });
    // The time limit passes as soon as the writing stands still.
    const timer = globalThis.setTimeout;
    vi.spyOn(globalThis, "setTimeout").mockImplementation(((run: () => void, ms?: number) =>
      timer(run, ms === LIMIT_MS ? 50 : ms)) as never);
    const written = await append("W0A1", 1, () => [note("not saved")], newToken);
    frozen = false;
    vi.restoreAllMocks();
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    expect([await ownSeqs(), await textsOut()]).toEqual([[], []]);
    expect((await row()).seq).toBe(0);
    expect((await append("W0A1", 2, () => [note("saved")], newToken)).ok).toBe(true);
    expect([await ownSeqs(), await textsOut()]).toEqual([[1], ["saved"]]);
  });
});

describe("a store that is full", () => {
  const full = (): never => {
    throw new DOMException("no room", "QuotaExceededError");
  };

  test("at the events writes neither events nor texts nor counters", async () => {
    await actAs("W0A1", () => [note("before")]);
    const before = await row();
    vi.spyOn(IDBObjectStore.prototype, "add").mockImplementation(full);
    const codes: string[] = [];
    const written = await actAs("W0A1", (pen) => {
      codes.push(pen.mint("C"), pen.mint("B"));
      return [note("one"), note("two")];
    });
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    vi.restoreAllMocks();
    expect(await row()).toEqual(before);
    expect([await ownSeqs(), await textsOut()]).toEqual([[1], ["before"]]);
    expect(ownOnTop.value).toHaveLength(1);
    expect([...docs.value.values()].map((d) => (d.body as TextBody).text)).toEqual(["before"]);
    const again: string[] = [];
    await actAs("W0A1", (pen) => {
      again.push(pen.mint("C"), pen.mint("B"));
      return [note("one"), note("two")];
    });
    expect(again).toEqual(codes); // no counter was used up
    expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual(["before", "one", "two"]);
  });

  test("only at the counters, after texts and events, takes them back", async () => {
    const put = IDBObjectStore.prototype.put;
    vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (this: IDBObjectStore, ...row) {
      return this.name === "meta" ? full() : put.apply(this, row);
    });
    const written = await actAs("W0A1", () => [note("one"), note("two")]);
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    vi.restoreAllMocks();
    expect([await ownSeqs(), await textsOut()]).toEqual([[], []]);
    expect((await row()).seq).toBe(0);
    expect(ownOnTop.value).toEqual([]);
  });

  test("at the texts, before the events, writes nothing", async () => {
    vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(full);
    const written = await actAs("W0A1", () => [note("one"), note("two")]);
    expect(written).toMatchObject({ ok: false, problem: { slug: "storage-failed" } });
    vi.restoreAllMocks();
    expect([await ownSeqs(), await textsOut()]).toEqual([[], []]);
    expect((await row()).seq).toBe(0);
    expect(ownOnTop.value).toEqual([]);
  });

  test("is not tried a second time and its connection goes on", async () => {
    const { opened } = connections();
    let times = 0;
    const writing = withDb(() => {
      times += 1;
      return Promise.reject(new DOMException("no room", "QuotaExceededError"));
    });
    await expect(writing).rejects.toBeInstanceOf(StorageFailed);
    expect(times).toBe(1);
    await row();
    expect(opened).not.toHaveBeenCalled();
  });
});

describe("several stores", () => {
  const change = (late: () => Promise<void>) =>
    writing(["drafts", "docs"], async (db) => {
      await db.drafts.put({ id: "a", at_ms: 1, value: 1 });
      await db.docs.put({ id: "a", kind: "shop", rev: 1, body: 1 });
      await late();
    });
  const counts = () => reading(["drafts", "docs"], async (db) => [await db.drafts.count(), await db.docs.count()]);

  test("change together", async () => {
    await change(async () => undefined);
    expect(await counts()).toEqual([1, 1]);
  });

  test("or not at all", async () => {
    await expect(change(() => Promise.reject(new TypeError("bug")))).rejects.toBeInstanceOf(TypeError);
    expect(await counts()).toEqual([0, 0]);
  });

  test("not at all when there is no room at the end, although each writing went well", async () => {
    const { opened } = connections();
    const asked = vi.spyOn(IDBDatabase.prototype, "transaction");
    const fillDisk = async (): Promise<void> => {
      const open = asked.mock.results.at(-1)?.value as { _abort(why: string): void };
      open._abort("QuotaExceededError"); // what the imitated browser itself does when a commit fails
    };
    await expect(change(fillDisk)).rejects.toThrow("QuotaExceededError");
    expect(await counts()).toEqual([0, 0]);
    expect(opened).not.toHaveBeenCalled();
  });
});

describe("each write", () => {
  test("is asked for with strict durability, alone or together", async () => {
    const asked = vi.spyOn(IDBDatabase.prototype, "transaction");
    await putMeta("look", "dark");
    await writing(["drafts", "docs"], async (db) => db.drafts.clear());
    await actAs("W0A1", () => [note("one")]);
    const writes = asked.mock.calls.filter(([, mode]) => mode === "readwrite");
    expect(writes.length).toBeGreaterThanOrEqual(3);
    expect(writes.map(([, , options]) => options?.durability)).toEqual(writes.map(() => "strict"));
  });

  test("alone is committed with its request, so that a page closed right after loses nothing", async () => {
    const committed = vi.spyOn(IDBTransaction.prototype, "commit");
    await putMeta("look", "dark");
    expect(committed).toHaveBeenCalledTimes(1);
  });

  test("of many rows leaves none when one of them cannot be kept", async () => {
    const rows = [1, () => 2].map((value, at) => ({ id: `draft ${at}`, at_ms: 1, value }));
    await expect(withDb((db) => db.drafts.putMany(rows), "once")).rejects.toBeInstanceOf(StorageFailed);
    expect(await withDb((db) => db.drafts.count())).toBe(0);
  });
});

describe("another version of the app", () => {
  const opened = (version?: number): Promise<IDBDatabase> =>
    new Promise((resolve, reject) => {
      const asked = indexedDB.open("traymark-station", version);
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });

  test("that is newer is not held up by this one, which says so and breaks nothing", async () => {
    await actAs("W0A1", () => [note("before")]);
    const same = await opened();
    same.close();
    const newer = await opened(same.version + 1);
    expect(await actAs("W0A1", () => [note("after")])).toMatchObject({ problem: { slug: "storage-failed" } });
    const held = newer.transaction("own").objectStore("own").count();
    await new Promise((resolve) => {
      held.onsuccess = resolve;
    });
    expect(held.result).toBe(1);
    newer.close();
    await new Promise((resolve) => {
      indexedDB.deleteDatabase("traymark-station").onsuccess = resolve;
    });
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
