/** log/silence.ts, forgetShop.ts, sync/round.ts: a station that was silent for long or taken out forgets the shop (F8.11). */
import "fake-indexeddb/auto";
import { actAs, writeCard } from "@pwa/actions/act.ts";
import { join } from "@pwa/actions/join.ts";
import { forgotten, load, ownOnTop, shownHash, signedOn, state } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { stateHash } from "@pwa/fold/fold.ts";
import { beginAgain } from "@pwa/log/again.ts";
import { getMeta, putMeta, type StationRow, type Stores, withDb } from "@pwa/log/db.ts";
import { forgetShop } from "@pwa/log/forgetShop.ts";
import { readState } from "@pwa/log/records.ts";
import { keepSent } from "@pwa/log/sentPhotos.ts";
import { type Forgot, forgetWhenDue } from "@pwa/log/silence.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { countUnsentEvents } from "@pwa/sync/unsent.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { deskHolds } from "./notation.ts";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";

const JOB = "J7K200003Z";
const CARD = "k".repeat(20);
const DAY_MS = 86_400_000;
const NOW = 400 * DAY_MS;
const SILENT: Forgot = { why: "silent", reached_ms: 5_000, days: 60 };
const now = () => 5_000;

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

async function note(text: string): Promise<void> {
  expect((await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: text } }])).ok).toBe(true);
}

const sync = async (): Promise<void> => expect(await syncRound(now, [])).toBeNull();

/** How many rows each store has. */
const counts = async (): Promise<Record<keyof Stores, number>> => {
  const named = await withDb((db) =>
    Promise.all(Object.entries(db).map(async ([name, store]) => [name, await store.count()] as const)),
  );
  return Object.fromEntries(named) as Record<keyof Stores, number>;
};

/** Everything that is kept, as text. */
const all = async (): Promise<string> =>
  JSON.stringify(await withDb((db) => Promise.all(Object.values(db).map((store) => store.all()))));

const photo = (sha256: string) => ({
  sha256,
  bytes: new ArrayBuffer(8),
  type: "image/jpeg",
  job: JOB,
  at_ms: 1,
});

/** A page that was closed and opened: nothing is in memory. */
async function openAnew(): Promise<void> {
  const forgot = await getMeta<Forgot>("forgot");
  await withDb((db) => db.meta.delete("forgot")); // else what is in memory would stay, as it shall in an open page
  await putMeta("times_forgotten", 1 + Math.floor(1e9 * Math.random()));
  await load();
  if (forgot !== undefined) await putMeta("forgot", forgot);
  await load();
}

/** What the server in memory cannot answer is done: the photo is sent, and earlier jobs were asked for. */
const restDone = (): Promise<unknown> => withDb((db) => Promise.all([db.photos.clear(), db.meta.delete("to_ask")]));

/** Two confirmed notes and a card, one note that is not sent, a photo of each kind, a draft and a label. */
async function fillStation(): Promise<void> {
  server.hold({ id: "shop", kind: "settings", body: { shop_name: "Test shop" } });
  await note("sent one");
  await writeCard(CARD, "contact", { name: "Sent Customer" });
  await note("sent two");
  await sync();
  await keepSent(photo("a".repeat(64)), 1);
  await withDb(async (db) => {
    await db.photos.put(photo("b".repeat(64)));
    await db.drafts.put({ id: "booking", at_ms: 1, value: { name: "Half Typed" } });
    await db.toPrint.put({ id: "1", kind: "device", fields: { text: "Sent Customer" }, at_ms: 1 });
    await db.meta.write("look", "dark");
    await db.meta.write("came_back", [{ job: JOB, earlier: JOB, complaint: "old words", text: null }]);
    await db.meta.write("to_ask", [
      { job: JOB, query: "imei=1" },
      { job: "J7K2000042", query: "imei=2" },
    ]);
  });
  await note("not sent");
}

describe("forgetting", () => {
  test("what the server has goes, what it has not stays, and the chain goes on", async () => {
    await fillStation();
    expect(await all()).toContain("Sent Customer");
    expect(await deskHolds()).toBe("7K2.1..2 | 7K2.3");
    await forgetShop(SILENT);
    const { own, docsOut, photos, drafts, meta: _, ...gone } = await counts();
    expect({ own, docsOut, photos, drafts }).toEqual({ own: 2, docsOut: 1, photos: 1, drafts: 1 });
    expect(new Set(Object.values(gone))).toEqual(new Set([0]));
    expect(Object.keys(gone).sort()).toEqual(["chunks", "docs", "photosSent", "records", "toPrint"]);
    const held = await all();
    for (const words of ["Sent Customer", "sent one", "sent two", "old words", "imei=2"])
      expect(held).not.toContain(words);
    for (const words of ["not sent", "Half Typed", "imei=1"]) expect(held).toContain(words);
    expect((await withDb((db) => db.meta.keys())).sort()).toEqual([
      ...["forgot", "look", "reached_ms", "station", "times_forgotten", "to_ask"],
    ]);
    expect(await deskHolds()).toBe("| 7K2.3");

    await openAnew();
    expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual(["not sent"]);
    expect([forgotten.value, signedOn.value]).toEqual([SILENT, null]);
    expect(await countUnsentEvents()).toBe(1);
    await restDone();
    await sync();
    expect(server.holds()).toBe("7K2.1..3");
    expect(server.notes()).toEqual(["sent one", "sent two", "not sent"]);
    expect(forgotten.value).toBeNull();
    expect(await getMeta("forgot")).toBeUndefined();
    expect(await shownHash()).toBe(await server.stateHash());
  });

  test("a write that fails in between leaves everything as it was", async () => {
    await fillStation();
    const before = await all();
    const put = IDBObjectStore.prototype.put;
    const cut = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (this: IDBObjectStore, row, key) {
      if ((row as { readonly name?: string }).name === "forgot") throw new DOMException("cut", "UnknownError");
      return put.call(this, row, key);
    });
    await expect(forgetShop(SILENT)).rejects.toThrow("cut");
    expect(cut).toHaveBeenCalled();
    cut.mockRestore();
    expect(await all()).toBe(before);
    await forgetShop(SILENT);
    expect(await all()).not.toBe(before);
  });

  test("done twice it is as done once", async () => {
    await fillStation();
    await forgetShop(SILENT);
    await putMeta("times_forgotten", 1);
    const once = await all();
    await forgetShop(SILENT);
    await putMeta("times_forgotten", 1);
    expect(await all()).toBe(once);
  });

  test("of an older chain it keeps what the server has not, and nothing that was written again", async () => {
    await note("confirmed");
    await sync();
    await note("written again");
    server.given.set("9ZZ", "S7K2");
    await beginAgain({ incarnation: "9ZZ" }, "restored", 1);
    await load();
    await note("in the new chain");
    await forgetShop(SILENT);
    expect(await deskHolds()).toBe("| 9ZZ.1<7K2 9ZZ.2..3");
    await openAnew();
    await sync();
    expect(server.holds()).toBe("7K2.1 9ZZ.1<7K2 9ZZ.2..3");
    expect(server.notes()).toEqual(["confirmed", "written again", "in the new chain"]);
  });

  test("a text that went ahead of its entry is sent again, since the server may have dropped it", async () => {
    await fillStation();
    server.instead = ({ path }) => (path === "/api/sync/push" ? problem(503, "busy") : null);
    expect(await syncRound(now, [])).toMatchObject({ slug: "busy" });
    expect((await counts()).docsOut).toBe(0);
    await forgetShop(SILENT);
    expect((await withDb((db) => db.docsOut.all())).map((d) => (d.body as { text: string }).text)).toEqual([
      "not sent",
    ]);
  });
});

describe("another tab", () => {
  /** The shop is forgotten while the first answer from this path is on its way. */
  const forgetDuring = (path: string): (() => number) => {
    let times = 0;
    vi.stubGlobal("fetch", async (asked: string, init: RequestInit) => {
      const answer = await server.answer(asked, init);
      if (asked.startsWith(path) && times === 0) {
        times += 1;
        await forgetShop(SILENT);
      }
      return answer;
    });
    return () => times;
  };

  test.each(["/api/sync/pull", "/api/docs?after"])(
    "that pulls through %s brings back no part of the shop",
    async (path) => {
      // Something that the lines of the pull do not change.
      const body = { thing: "C7K2000010", to: "shelf", after: [] } as const;
      expect((await actAs("W0A1", () => [{ kind: "thing.moved", body }])).ok).toBe(true);
      await fillStation();
      await restDone();
      server.hold({ id: CARD, kind: "contact", body: { name: "Changed Customer" } });
      const done = forgetDuring(path);
      await sync();
      expect(done()).toBe(1);
      await sync();
      // It has begun with the whole live state: what a start would read is what the server has.
      expect(await stateHash((await readState()).state)).toBe(await server.stateHash());
      expect(await shownHash()).toBe(await server.stateHash());
      expect((await withDb((db) => db.docs.keys())).sort()).toEqual([...server.docs.keys()].sort());
    },
  );

  test("that asks for a card which a live job names does not keep it", async () => {
    const card = "q".repeat(20);
    const body = {
      ...{ device: "D7K2000020", card, contact: card, model: "Quillet 5", complaint: "No picture", consents: [] },
      ...{ promised_at_ms: 1, ticket: "0".repeat(26) },
    } as const;
    server.hold({ id: card, kind: "contact", body: { name: "Named Customer" } });
    expect((await actAs("W0A1", () => [{ kind: "job.booked", job: "J7K2000042", body }])).ok).toBe(true);
    expect(await syncRound(now, [])).toBeNull();
    expect(await all()).toContain("Named Customer");
    const other = "r".repeat(20);
    server.hold({ id: other, kind: "contact", body: { name: "Lacking Customer" } });
    expect(
      (await actAs("W0A1", () => [{ kind: "job.booked", job: "J7K2000033", body: { ...body, contact: other } }])).ok,
    ).toBe(true);
    // As when it came while nothing named it: the pull of documents does not bring it.
    server.instead = ({ path }) =>
      path.startsWith("/api/docs?after") ? Response.json({ rev: 9, last: 9, docs: [], more: false }) : null;
    const done = forgetDuring("/api/docs?ids");
    await sync();
    expect(done()).toBe(1);
    expect(await all()).not.toContain("Customer");
  });

  test("whose pull is under way keeps nothing when the server then refuses the station", async () => {
    await fillStation();
    const done = forgetDuring("/api/sync/pull");
    server.instead = ({ path }) =>
      done() > 0 && !path.startsWith("/api/blobs") ? problem(401, "station-revoked") : null;
    expect(await syncRound(now, [])).toMatchObject({ slug: "station-revoked" });
    const { records, chunks, docs } = await counts();
    expect({ records, chunks, docs }).toEqual({ records: 0, chunks: 0, docs: 0 });
  });

  test("that shows the shop goes on showing it, and what is written in either", async () => {
    await fillStation();
    await forgetShop(SILENT);
    await load(); // as after the other tab's news
    expect(forgotten.value).toEqual(SILENT);
    expect(state.value.job.get(JOB)?.notes).toHaveLength(3);
    await note("written after");
    await load();
    expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual([
      ...["sent one", "sent two", "not sent", "written after"],
    ]);
    expect(signedOn.value).toBe("W0A1");
  });
});

describe("at a start", () => {
  const forgot = () => getMeta<Forgot>("forgot");
  const setDays = (forget_after_days: unknown) =>
    withDb((db) => db.docs.put({ id: "shop", kind: "settings", rev: 1, body: { forget_after_days } }));

  test.each([
    [undefined, 60, null],
    [undefined, 60.1, 60],
    [7, 7, null],
    [7, 7.1, 7],
    ["7", 8, null],
    [0, 8, null],
  ] as const)("with the setting %s, %s days of silence forget the shop: %s", async (set, silent, days) => {
    await setDays(set);
    await putMeta("reached_ms", NOW - silent * DAY_MS);
    await forgetWhenDue(NOW);
    expect(await forgot()).toEqual(
      days === null ? undefined : { why: "silent", reached_ms: NOW - silent * DAY_MS, days },
    );
  });

  test.each([undefined, NOW + DAY_MS])("a silence that began at %s is counted from here", async (reached_ms) => {
    if (reached_ms !== undefined) await putMeta("reached_ms", reached_ms);
    await forgetWhenDue(NOW);
    expect([await forgot(), await getMeta("reached_ms")]).toEqual([undefined, NOW]);
  });

  test("a browser that never joined notes nothing", async () => {
    await withDb((db) => db.meta.clear());
    await forgetWhenDue(NOW);
    expect(await withDb((db) => db.meta.keys())).toEqual([]);
  });

  test("what screens kept after it was forgotten goes as well", async () => {
    await forgetShop(SILENT);
    await putMeta("signed_on", "W0A1");
    await forgetWhenDue(NOW);
    expect([await getMeta("signed_on"), await forgot()]).toEqual([undefined, SILENT]);
  });

  test("a good round notes when it was, at most once an hour", async () => {
    const at = async (ms: number) => {
      expect(await syncRound(() => ms, [])).toBeNull();
      return getMeta<number>("reached_ms");
    };
    expect([await at(NOW), await at(NOW + 3_599_999), await at(NOW + 3_600_000), await at(NOW)]).toEqual([
      ...[NOW, NOW, NOW + 3_600_000, NOW],
    ]);
  });
});

describe("a station that is taken out", () => {
  beforeEach(async () => {
    await fillStation();
    await restDone();
    await sync();
    server.instead = ({ path }) => (path === "/api/join" ? null : problem(401, "station-revoked"));
  });

  const hear = async (): Promise<void> => expect(await syncRound(now, [])).toMatchObject({ slug: "station-revoked" });

  test("forgets the shop on the disk, and the screen keeps what it shows", async () => {
    await hear();
    expect(await all()).not.toContain("Sent Customer");
    expect(forgotten.value).toMatchObject({ why: "revoked" });
    expect(state.value.job.get(JOB)?.notes).toHaveLength(3);
    expect(signedOn.value).toBe("W0A1");
    await openAnew();
    await hear();
    await note("after a start");
    expect(await deskHolds()).toBe("| 7K2.4");
  });

  test("sends what was written meanwhile once it has joined again", async () => {
    await note("before it heard");
    await hear();
    await note("after it heard");
    await hear();
    expect(
      state.value.job
        .get(JOB)
        ?.notes.map((n) => said(n.note))
        .slice(-2),
    ).toEqual([...["before it heard", "after it heard"]]);
    expect(await deskHolds()).toBe("| 7K2.4..5");
    server.given.set("9ZZ", "S7K2");
    server.instead = ({ path }) =>
      path === "/api/join"
        ? Response.json({ station: "S7K2", name: "Desk", role: "counter", shop_name: "Test shop", incarnation: "9ZZ" })
        : null;
    vi.stubGlobal("navigator", {});
    expect((await join("code", "Desk")).ok).toBe(true);
    expect(forgotten.value).toBeNull();
    await sync();
    expect(server.holds()).toBe("7K2.1..3 9ZZ.1<7K2 9ZZ.2..3");
    expect(server.notes().slice(-2)).toEqual(["before it heard", "after it heard"]);
    expect(ownOnTop.value).toEqual([]);
    expect(await shownHash()).toBe(await server.stateHash());
    expect((await getMeta<StationRow>("station"))?.incarnation).toBe("9ZZ");
  });

  test("a station that the server does not know forgets nothing", async () => {
    server.instead = () => problem(401, "station-unknown");
    expect(await syncRound(now, [])).toMatchObject({ slug: "station-unknown" });
    expect(await all()).toContain("Sent Customer");
    expect(await getMeta("forgot")).toBeUndefined();
  });
});
