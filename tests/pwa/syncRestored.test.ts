/**
 * sync/mend.ts, push.ts, pull.ts, renew.ts: forks, restored storages and restored servers (F3.4, F4.4). What the
 * station and the server hold is written in the notation of F10.
 */
import "fake-indexeddb/auto";
import { actAs, writeCard } from "@pwa/actions/act.ts";
import { load, ownOnTop, shownHash, state } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { beginAgain } from "@pwa/log/again.ts";
import { getMeta, putMeta, type StationRow, withDb } from "@pwa/log/db.ts";
import { sendEvents } from "@pwa/sync/mend.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { countUnsentEvents } from "@pwa/sync/unsent.ts";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { deskHolds, headsInNotation } from "./notation.ts";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";
import { cardOf } from "./texts.ts";

const JOB = "J7K200003Z";
const THING = "C7K2000010";
const now = () => 5_000;

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
});
afterEach(() => {
  vi.unstubAllGlobals();
});

async function note(text: string): Promise<void> {
  const written = await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: text } }]);
  expect(written.ok).toBe(true);
}

async function move(to: "shelf" | "bench" | "shipping", after: readonly string[]): Promise<void> {
  const body = { thing: THING, to, after };
  expect((await actAs("W0A1", () => [{ kind: "thing.moved", body }])).ok).toBe(true);
}

async function sync(): Promise<void> {
  const refusals: unknown[] = [];
  expect(await syncRound(now, refusals as never[])).toBeNull();
  expect(refusals).toEqual([]);
}

const row = async (): Promise<StationRow> => (await getMeta<StationRow>("station")) as StationRow;

/** Everything that a copy of the browser's storage would hold. */
async function storage(): Promise<() => Promise<void>> {
  const held = await withDb((db) => Promise.all(Object.values(db).map((store) => store.all())));
  return async () => {
    await withDb(async (db) => {
      for (const [at, store] of Object.values(db).entries()) {
        await store.clear();
        await store.putMany(held[at] as never[]);
      }
    });
    await putMeta("times_forgotten", 1 + Math.floor(1e9 * Math.random())); // a fresh page has nothing in memory
    await load();
  };
}

async function sameEverywhere(): Promise<void> {
  expect(await countUnsentEvents()).toBe(0);
  expect(ownOnTop.value).toEqual([]);
  expect(await shownHash()).toBe(await server.stateHash());
}

test("a copied storage that wrote on begins a new chain, and each entry of both arrives once", async () => {
  await note("both");
  await sync();
  const putBack = await storage();
  await note("first copy");
  await sync();
  await putBack();
  await note("second copy");
  await move("shelf", []);
  await move("bench", ["7K2.3"]);
  expect(await deskHolds()).toBe("7K2.1 | 7K2.2..4");
  expect(server.holds()).toBe("7K2.1..2");
  await sync();
  expect(await deskHolds()).toBe("7K2.1 8AA.1<7K2 8AA.2..4 |");
  expect(server.holds()).toBe("7K2.1..2 8AA.1<7K2 8AA.2..4; 7K2.2'..4'");
  expect(server.notes()).toEqual(["both", "first copy", "second copy"]);
  expect(headsInNotation(state.value.thing.get(THING))).toBe("{8AA.4 bench}"); // it followed 7K2.3', now 8AA.3
  await sameEverywhere();
});

test("a copied storage whose next entries the server holds already sends only what differs", async () => {
  await note("one");
  await sync();
  await note("two");
  const putBack = await storage(); // written, and the server's confirmation not yet heard
  await sync();
  await note("three");
  await sync();
  await putBack();
  await note("other three");
  expect(await deskHolds()).toBe("7K2.1 | 7K2.2..3"); // 7K2.3 is 7K2.3' for the server
  await sync();
  expect(server.holds()).toBe("7K2.1..3 8AA.1<7K2 8AA.2; 7K2.3'");
  expect(server.notes()).toEqual(["one", "two", "three", "other three"]);
  await sameEverywhere();
});

test("a restored storage that has nothing to send notices at the pull and begins a new chain at once", async () => {
  await note("one");
  await sync();
  const putBack = await storage();
  await note("two");
  await sync();
  await putBack();
  expect(await deskHolds()).toBe("7K2.1 |");
  await sync();
  expect(await deskHolds()).toBe("7K2.1 8AA.1<7K2 |");
  await note("three");
  expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual(["one", "two", "three"]);
  await sync();
  expect(server.holds()).toBe("7K2.1..2 8AA.1<7K2 8AA.2");
  await sameEverywhere();
});

test("a restored server gets what it lacks, also of chains before the present one", async () => {
  await note("in the backup");
  await sync();
  const backup = server.copy();
  await note("in the first chain");
  await sync();
  server.given.set("9ZZ", "S7K2");
  await beginAgain({ incarnation: "9ZZ" }, "restored", 1);
  await load();
  await note("in the second chain");
  await sync();
  server.restore({ ...backup, given: [...server.given] });
  await note("written meanwhile");
  await sync();
  expect(server.notes()).toEqual(["in the backup", "in the first chain", "in the second chain", "written meanwhile"]);
  expect(server.holds()).toBe("7K2.1..2 9ZZ.1<7K2 9ZZ.2..3");
  expect(server.asked.filter((a) => a.path === "/api/station/incarnation")).toEqual([]);
  await sameEverywhere();
});

test("a server restored to before it gave out the present chain gets those entries in a new one", async () => {
  await note("in the backup");
  await sync();
  const backup = server.copy();
  await note("in the first chain");
  server.given.set("9ZZ", "S7K2");
  await sync();
  await beginAgain({ incarnation: "9ZZ" }, "restored", 1);
  await load();
  await note("in the second chain");
  await sync();
  expect(server.holds()).toBe("7K2.1..2 9ZZ.1<7K2 9ZZ.2");
  server.restore(backup);
  expect(server.holds()).toBe("7K2.1");
  await sync();
  expect(server.holds()).toBe("7K2.1..2 8AA.1<9ZZ 8AA.2<7K2 8AA.3"); // 9ZZ is unknown to it: 9ZZ.1..2 became 8AA.2..3
  expect(server.notes()).toEqual(["in the backup", "in the first chain", "in the second chain"]);
  await sameEverywhere();
});

test("joined again as another station, entries that a restored server lost arrive under the new one", async () => {
  await note("in the backup");
  await sync();
  const backup = server.copy();
  await note("lost with the server");
  await sync();
  await note("never sent");
  server.restore(backup);
  server.station = "S9ZZ";
  server.given.set("9ZZ", "S9ZZ");
  await beginAgain({ incarnation: "9ZZ", station: "S9ZZ" }, "restored", 1);
  await load();
  await sync();
  expect([...server.notes()].sort()).toEqual(["in the backup", "lost with the server", "never sent"]);
  // 7K2.2, which the server lost, is 8AA.2; 9ZZ.1..2, of a chain it never gave out, are 8AA.3..4.
  expect(server.holds()).toBe("7K2.1 8AA.1<9ZZ 8AA.2 8AA.3<7K2 8AA.4");
  await sameEverywhere();
});

test("a browser that became another station without noticing goes on as that one", async () => {
  await note("of the first station");
  server.station = "S9ZZ"; // joined, and closed before it could write that down
  await sync();
  expect(server.notes()).toEqual(["of the first station"]);
  expect(await row()).toMatchObject({ station: "S9ZZ", incarnation: "8AA" });
  await sameEverywhere();
});

test("a fork below what was confirmed is found, and what the server lost is written again", async () => {
  await note("one");
  await sync();
  const putBack = await storage();
  const backup = server.copy();
  await note("confirmed, then lost");
  await sync();
  const later = await storage();
  server.restore(backup);
  await putBack();
  await note("of the other copy");
  await sync();
  await later();
  await note("after it");
  await sync();
  expect(server.holds()).toBe("7K2.1..2 8AA.1<7K2 8AA.2..3; 7K2.3' 7K2.2'"); // 7K2.2 is the other copy's
  expect(server.notes()).toEqual(["one", "of the other copy", "confirmed, then lost", "after it"]);
  await sameEverywhere();
});

test("a server that refuses every chain is told and not asked for ever", async () => {
  await note("one");
  server.instead = ({ path }) => (path === "/api/sync/push" ? problem(403, "incarnation-unknown") : null);
  expect(await sendEvents(now)).toMatchObject({ slug: "incarnation-unknown" });
  expect(server.asked.filter((a) => a.path === "/api/station/incarnation")).toHaveLength(1);
  expect(await countUnsentEvents()).toBe(2); // the beginning of the new chain and the note
});

test("cards that a restored server lacks or holds older are offered again, others are not", async () => {
  const [kept, changed, lost, erased] = ["k", "c", "l", "e"].map((letter) => letter.repeat(20)) as [
    string,
    string,
    string,
    string,
  ];
  await writeCard(kept, "contact", { name: "Kept" });
  await writeCard(changed, "contact", { name: "Old" });
  await writeCard(erased, "contact", { name: "To be erased" });
  await sync();
  const backup = server.copy();
  await writeCard(changed, "contact", { name: "New" });
  await writeCard(lost, "contact", { name: "Lost" });
  server.docs.set(erased, { kind: "contact", body: null, rev: 9 });
  await sync();
  server.restore(backup);
  server.asked.length = 0;
  await sync();
  const offered = server.asked.filter((a) => a.method === "PUT").map((a) => a.path.slice(-1));
  // What was erased is erased again by the server, not offered by a station (F7.10).
  expect(offered.sort()).toEqual(["c", "l"]);
  expect([kept, changed, lost].map((id) => server.docs.get(id)?.body)).toEqual([
    { name: "Kept" },
    { name: "New" },
    { name: "Lost" },
  ]);
});

test("an older copy of the log that was put back by hand is noticed, though positions were given out again", async () => {
  await note("in the copy");
  await sync();
  const copy = server.copy();
  await note("lost with the disk");
  await writeCard("l".repeat(20), "contact", { name: "Lost" });
  await sync();
  const { epoch } = server;
  server.restore(copy);
  server.epoch = epoch;
  // Another station is quicker, and gets the position that this one knows as its own.
  server.given.set("9ZZ", "S9ZZ");
  const theirs = cardOf("theirs");
  server.hold(theirs);
  const raw = JSON.stringify({
    v: 1, kind: "note.added", station: "S9ZZ", incarnation: "9ZZ", seq: 1, staff: null, at_ms: 1, job: JOB, body: { note: theirs.id },
  }); // biome-ignore format: one line of members, as in the format
  server.log.push({ incarnation: "9ZZ", seq: 1, raw, hash: "of theirs" });
  await sync();
  await sync();
  expect(server.notes()).toEqual(["in the copy", "theirs", "lost with the disk"]);
  expect(server.docs.get("l".repeat(20))?.body).toEqual({ name: "Lost" });
  await sameEverywhere();
});

const ownTexts = async (): Promise<string[]> =>
  (await withDb((db) => db.own.all())).map(
    (own) => `${own.incarnation}.${own.seq}${own.text === "" ? " hash only" : ""}`,
  );

/** The server makes a backup, and the station hears of it. */
async function backedUp(at_ms: number) {
  const copy = server.copy();
  server.backedUpMs = at_ms;
  server.backedUp = { "7K2": server.log.filter((l) => l.incarnation === "7K2").length };
  await sync();
  return copy;
}

test("entries that a good backup has are kept no longer, and the last backup restored lacks none", async () => {
  await note("one");
  await note("two");
  await sync();
  const backup = await backedUp(1_000);
  expect(await ownTexts()).toEqual(["7K2.2 hash only"]);
  await note("three");
  await sync();
  expect(await ownTexts()).toEqual(["7K2.2 hash only", "7K2.3"]);
  server.restore(backup);
  await note("four");
  await sync();
  expect(server.notes()).toEqual(["one", "two", "three", "four"]);
  expect(server.holds()).toBe("7K2.1..4");
  await sameEverywhere();
});

test("an older backup than the last one gets what is still here, in a new chain", async () => {
  await note("one");
  await sync();
  const older = server.copy();
  await note("two");
  await sync();
  await backedUp(1_000);
  await note("three");
  await sync();
  server.restore(older);
  await note("four");
  await sync();
  await sync();
  expect(server.notes()).toEqual(["one", "three", "four"]);
  expect(server.holds()).toBe("7K2.1 8AA.1<7K2 8AA.2..3");
  await sameEverywhere();
});

test("what is not confirmed is kept, whatever the backup is said to have", async () => {
  await note("one");
  await sync();
  server.backedUp = { "7K2": 99 };
  server.instead = ({ path }) => (path === "/api/sync/push" ? problem(500, "internal") : null);
  await note("two");
  server.backedUpMs = 1_000;
  const refusals: unknown[] = [];
  await syncRound(now, refusals as never[]);
  server.instead = () => null;
  await sync();
  expect(server.notes()).toEqual(["one", "two"]);
  expect(await ownTexts()).toEqual(["7K2.1 hash only", "7K2.2"]);
});
