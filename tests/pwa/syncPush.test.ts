/** sync/push.ts, pushDocs.ts, round.ts: batches within F8.1, and what one refusal may not hold up. */
import "fake-indexeddb/auto";
import { actAs, writeCard } from "@pwa/actions/act.ts";
import { docs, ownOnTop, shownHash } from "@pwa/current.ts";
import type { NewEvent } from "@pwa/log/append.ts";
import { type OwnEvent, withDb } from "@pwa/log/db.ts";
import type { Refusal } from "@pwa/sync/client.ts";
import { fitting } from "@pwa/sync/push.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { countUnsentEvents } from "@pwa/sync/unsent.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";

const JOB = "J7K200003Z";
/** FORMAT F8.1. */
const MOST_BYTES = 262_144;
/** Events of 200 letters each, the longest text that an event itself holds. */
const MANY = 900;

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
});
afterEach(() => {
  vi.unstubAllGlobals();
});

async function notes(texts: readonly string[]): Promise<void> {
  const written = await actAs("W0A1", () =>
    texts.map((note): NewEvent => ({ kind: "note.added", job: JOB, body: { note } })),
  );
  expect(written.ok).toBe(true);
}

/** One round; what the server refused in it. */
async function sync(): Promise<readonly Refusal[]> {
  const refusals: Refusal[] = [];
  expect(await syncRound(() => 5_000, refusals)).toBeNull();
  return refusals;
}

const pushes = (): readonly number[] =>
  server.asked.filter((a) => a.path === "/api/sync/push").map((a) => a.bytes.length);

async function keepPhoto(letter: string): Promise<string> {
  const sha256 = letter.repeat(64);
  await withDb(async (db) => {
    await db.photos.put({ sha256, bytes: new ArrayBuffer(8), type: "image/jpeg", job: JOB, at_ms: 1 });
  });
  return sha256;
}

describe("a batch", () => {
  test.each([
    ["three bytes a letter", "修".repeat(200)],
    ["four bytes a letter", "🔧".repeat(200)],
    ["two bytes a letter", "ö".repeat(200)],
    ["one byte a letter", "o".repeat(200)],
  ])("of text with %s stays within what the format allows, and all of it arrives", async (_, text) => {
    const rounds = Array.from({ length: MANY }, (_, i) => i + 2);
    await actAs("W0A1", () =>
      rounds.map((round) => ({ kind: "final.begun" as const, job: JOB, body: { round, why: text } })),
    );
    expect(await sync()).toEqual([]);
    expect(server.events()).toHaveLength(MANY);
    expect(pushes().every((bytes) => bytes <= MOST_BYTES)).toBe(true);
    const whole = MANY * new TextEncoder().encode(text).length;
    expect(pushes().length).toBeLessThanOrEqual(Math.ceil(whole / 200_000) + 1); // and is not needlessly small
    expect(await shownHash()).toBe(await server.stateHash());
  });

  test("holds as many events as fit, the last byte included, and one at least", () => {
    const row = (text: string): OwnEvent => ({ incarnation: "7K2", seq: 1, text, hash: "", void: 0 });
    const two = [row("öö"), row("ö")]; // 4 and 2 bytes, and a line feed each
    expect(fitting(two, 8)).toHaveLength(2);
    expect(fitting(two, 7)).toHaveLength(1);
    expect(fitting(two, 1)).toHaveLength(1);
    expect(fitting([], 8)).toEqual([]);
  });

  test("that something between finds too large is halved until it passes", async () => {
    await notes(Array.from({ length: 40 }, (_, i) => `note ${i}`));
    // A stranger's refusal: no problem of ours in it.
    server.instead = ({ path, bytes }) =>
      path === "/api/sync/push" && bytes.length > 3_000 ? new Response("<h1>413</h1>", { status: 413 }) : null;
    expect(await sync()).toEqual([]);
    expect(server.notes()).toHaveLength(40);
    expect(await countUnsentEvents()).toBe(0);
  });
});

describe("what is refused", () => {
  test("of the events is told, while cards, photos and the log of the others go on", async () => {
    await notes(["too large for somebody"]);
    await writeCard("k".repeat(20), "contact", { name: "Kept" });
    const photo = await keepPhoto("a");
    server.docs.set("shop", { kind: "settings", body: { shop_name: "Lantern" }, rev: 1 });
    server.instead = ({ path }) => (path === "/api/sync/push" ? problem(413, "body-too-large") : null);
    expect(await sync()).toMatchObject([{ slug: "body-too-large" }]);
    expect(server.blobs).toEqual(new Set([photo]));
    expect(server.docs.has("k".repeat(20))).toBe(true);
    expect(docs.value.get("shop")?.body).toEqual({ shop_name: "Lantern" });
    expect(ownOnTop.value).toHaveLength(1);
    server.instead = () => null;
    expect(await sync()).toEqual([]);
    expect(server.notes()).toEqual(["too large for somebody"]);
  });

  test("of a card is told and kept, and the events and other cards arrive", async () => {
    const [bad, good] = ["a".repeat(20), "b".repeat(20)];
    await writeCard(bad, "contact", { name: "Refused" });
    await writeCard(good, "contact", { name: "Taken" });
    await notes(["after the cards"]);
    server.instead = ({ path, method }) => (method === "PUT" && path.endsWith(bad) ? problem(422, "bad-field") : null);
    expect(await sync()).toMatchObject([{ slug: "bad-field" }]);
    expect(server.docs.get(good)?.body).toEqual({ name: "Taken" });
    expect(server.notes()).toEqual(["after the cards"]);
    expect(await withDb((db) => db.docsOut.keys())).toEqual([bad]);
  });

  test.each(["body-too-large", "blob-not-image", "image-too-large", "blob-hash", "internal"] as const)(
    "of a photo by %s is told with its job and kept, and the other photos arrive",
    async (slug) => {
      const [bad, good] = [await keepPhoto("a"), await keepPhoto("b")];
      server.instead = ({ path }) => (path.endsWith(bad) ? problem(413, slug) : null);
      expect(await sync()).toMatchObject([{ slug, detail: expect.stringContaining("J7K20 0003Z") }]);
      expect(server.blobs).toEqual(new Set([good]));
      expect(await withDb((db) => db.photos.keys())).toEqual([bad]);
    },
  );

  test.each(["station-revoked", "station-unknown", "busy", "rate-limited"] as const)(
    "to the whole station by %s ends the round, and all is kept",
    async (slug) => {
      await notes(["kept"]);
      await keepPhoto("a");
      server.instead = () => problem(slug === "busy" ? 503 : 401, slug);
      expect(await syncRound(() => 5_000, [])).toMatchObject({ slug });
      expect(server.asked).toHaveLength(1);
      expect(await countUnsentEvents()).toBe(1);
      expect(await withDb((db) => db.photos.count())).toBe(1);
    },
  );
});

test("another page that answers in the server's place confirms nothing", async () => {
  await notes(["kept"]);
  await writeCard("k".repeat(20), "contact", { name: "Kept" });
  await keepPhoto("a");
  server.instead = () => new Response("<h1>Sign in to this network</h1>", { headers: { "Content-Type": "text/html" } });
  expect(await syncRound(() => 5_000, [])).toBe("offline");
  server.instead = ({ path }) => (/push|blobs|docs/.test(path) ? Response.json({ welcome: true }) : null);
  expect(await syncRound(() => 5_000, [])).toBe("offline");
  expect(await countUnsentEvents()).toBe(1);
  // The contact, and the text of the note.
  expect(await withDb((db) => db.docsOut.count())).toBe(2);
  expect(await withDb((db) => db.photos.count())).toBe(1);
});
