/** sync/pullDocs.ts, erased.ts, pushDocs.ts, log/giveUp.ts: what was erased for good, or put away, goes from here too (F7.10). */
import "fake-indexeddb/auto";
import { actAs } from "@pwa/actions/act.ts";
import { readPutAway } from "@pwa/actions/archive.ts";
import { docs, load, state, visited } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { aboutOf } from "@pwa/log/cards.ts";
import { type Doc, getMeta, putMeta, withDb } from "@pwa/log/db.ts";
import { forgetPulled } from "@pwa/log/forgetPulled.ts";
import { giveUpCards } from "@pwa/log/giveUp.ts";
import { dropPulled } from "@pwa/log/pulled.ts";
import { countSent, keepSent } from "@pwa/log/sentPhotos.ts";
import { loadCameBack } from "@pwa/sync/earlier.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { cameBack } from "@pwa/sync/status.ts";
import { NOTHING_VISITED } from "@pwa/visited.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";
import { cardOf } from "./texts.ts";

const JOB = "J7K200003Z";
const OTHER = "J7K200002Y";
const CONTACT = "b".repeat(20);

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
  visited.value = NOTHING_VISITED;
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

async function sync(): Promise<void> {
  const refusals: unknown[] = [];
  expect(await syncRound(() => 5_000, refusals as never[])).toBeNull();
  expect(refusals).toEqual([]);
}

const erase = (id: string, kind: string): void => server.hold({ id, kind, body: null });
const held = (id: string): Promise<Doc | undefined> => withDb((db) => db.docs.get(id));
const photo = (letter: string, size = 8) => ({
  sha256: letter.repeat(64),
  bytes: new ArrayBuffer(size),
  type: "image/jpeg",
  job: JOB,
  at_ms: 1,
});

describe("texts that are given up", () => {
  test("are those of what is not live; those not sent stay, and what was erased goes with what it was about", async () => {
    const [live, gone, waiting] = [cardOf("live", JOB), cardOf("gone", OTHER), cardOf("waiting", OTHER)];
    const erased = { ...cardOf("erased", OTHER), body: null, of: OTHER };
    await withDb((db) => db.docs.putMany([live, gone, waiting, erased]));
    await withDb((db) => db.docsOut.put(waiting));
    const lost = await giveUpCards((card) => aboutOf(card) === JOB);
    expect([...lost].sort()).toEqual([gone.id, erased.id].sort());
    expect((await withDb((db) => db.docs.keys())).sort()).toEqual([live.id, waiting.id].sort());
    expect(await withDb((db) => db.docsOut.keys())).toEqual([waiting.id]);
  });
});

describe("a text that was erased", () => {
  test("leaves here that there was one and what it was about; of one that was never here nothing is kept", async () => {
    await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: "Brought by the sister" } }]);
    await sync();
    const [id] = [...server.docs.keys()] as [string];
    const strange = cardOf("of another time");
    erase(id, "text");
    erase(strange.id, "text");
    await sync();
    expect(await held(id)).toMatchObject({ kind: "text", body: null, of: JOB });
    expect(await held(strange.id)).toBeUndefined();
    expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual(["(erased, or not here yet)"]);
    await load();
    expect(JSON.stringify([...docs.value.values()])).not.toContain("sister");
  });

  test("or that is about an erased job, is refused when it comes late, and goes from here", async () => {
    await sync();
    await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: "Late word of the sister" } }]);
    server.instead = ({ method, path }) =>
      method === "PUT" && path.startsWith("/api/docs/") ? problem(410, "doc-erased") : null;
    await sync();
    expect(await withDb((db) => db.docsOut.count())).toBe(0);
    expect([...docs.value.values()]).toEqual([]);
    expect(server.events().map((e) => e.kind)).toEqual(["note.added"]);
  });

  test("does not wait to be sent again after the server's log was an older copy", async () => {
    server.hold({ id: CONTACT, kind: "contact", body: { name: "Ilse Marrow" } });
    await sync();
    erase(CONTACT, "contact");
    await sync();
    await forgetPulled();
    server.docs.clear();
    await sync();
    expect(server.docs.size).toBe(0);
  });
});

describe("what was read from the archive", () => {
  test("is gone from the screen as soon as it was erased, also after the stores are read again, and in other tabs", async () => {
    const text = cardOf("Dark display", JOB);
    const job = { complaint: text.id, contact: CONTACT };
    const cards = [text, { id: CONTACT, kind: "contact", rev: 1, body: { name: "Ilse Marrow" } }];
    const answer = [`job\t${JOB}\t${JSON.stringify(job)}`, "", ...cards.map((c) => JSON.stringify(c)), "", ""].join(
      "\n",
    );
    server.instead = ({ path }) => (path.startsWith("/api/archive") ? new Response(answer) : null);
    expect((await readPutAway({ code: JOB })).ok).toBe(true);
    const complaint = () => said(state.value.job.get(JOB)?.complaint ?? null);
    expect([complaint(), docs.value.get(CONTACT)?.body]).toEqual(["Dark display", { name: "Ilse Marrow" }]);
    const other = new BroadcastChannel("traymark");
    const told = new Promise((resolve) => {
      other.onmessage = ({ data }) => typeof data === "object" && resolve(data);
    });
    erase(text.id, "text");
    erase(CONTACT, "contact");
    await sync();
    for (const again of [false, true]) {
      if (again) await load();
      expect([complaint(), docs.value.get(CONTACT)]).toEqual(["(erased, or not here yet)", undefined]);
    }
    expect(await told).toEqual({ erased: [text.id, CONTACT] });
    other.close();
  });

  test("in words, for a device that came back, is forgotten with its text", async () => {
    const text = cardOf("Dark display", JOB);
    const [one, two] = [OTHER, JOB].map((job) => ({ job, earlier: JOB, complaint: "Dark display", text: text.id }));
    await putMeta("came_back", [one, { ...two, text: "a".repeat(64) }]);
    await loadCameBack();
    erase(text.id, "text");
    await sync();
    expect(cameBack.value.map((c) => c.complaint)).toEqual(["", "Dark display"]);
    expect(await getMeta("came_back")).toEqual(cameBack.value);
  });
});

describe("a photo that was erased", () => {
  const shown = (): readonly unknown[] =>
    vi
      .mocked(fetch)
      .mock.calls.filter(([path]) => String(path).startsWith("/api/blobs/"))
      .map(([path, init]) => [path, init?.cache]);

  test("goes from the stores with its bytes, sent or not, and from what the browser has shown", async () => {
    const [unsent, sent, other] = [photo("a"), photo("b", 100), photo("c", 30)];
    await withDb((db) => db.photos.put(unsent));
    await keepSent(sent, 1);
    await keepSent(other, 2);
    vi.stubGlobal("fetch", vi.fn(fetch));
    erase(unsent.sha256, "photo");
    erase(sent.sha256, "photo");
    await sync();
    expect(await withDb((db) => db.photos.keys())).toEqual([]);
    expect(await withDb((db) => db.photosSent.keys())).toEqual([other.sha256]);
    expect(await countSent()).toEqual({ count: 1, bytes: 30 });
    expect(shown()).toEqual(
      [unsent, sent].flatMap(({ sha256 }) => [
        [`/api/blobs/${sha256}?size=thumb`, "reload"],
        [`/api/blobs/${sha256}`, "reload"],
      ]),
    );
    expect(await held(sent.sha256)).toBeUndefined();
  });

  test("is heard of again when the network was lost before the browser had dropped it", async () => {
    erase(photo("a").sha256, "photo");
    server.instead = ({ path }) => {
      if (path.startsWith("/api/blobs/")) throw new TypeError("Failed to fetch");
      return null;
    };
    expect(await syncRound(() => 5_000, [])).toBe("offline");
    expect(await getMeta("docs_rev")).toBeUndefined();
    server.instead = () => null;
    server.asked.length = 0;
    await sync();
    expect(server.asked.filter((a) => a.path.startsWith("/api/blobs/"))).toHaveLength(2);
  });

  test("is refused when it comes late, and goes from here; the others arrive", async () => {
    const [late, other] = [photo("a"), photo("b")];
    await withDb((db) => db.photos.putMany([late, other]));
    server.instead = ({ method, path }) =>
      method === "PUT" && path.endsWith(late.sha256) ? problem(410, "photo-erased") : null;
    await sync();
    expect(await withDb((db) => db.photos.keys())).toEqual([]);
    expect(await withDb((db) => db.photosSent.keys())).toEqual([other.sha256]);
  });
});

describe("what was erased before", () => {
  const asked = (): readonly string[] =>
    server.asked.filter((a) => a.path.startsWith("/api/docs?")).map((a) => a.path.replace(/&run.*/, ""));

  test("is not told to a station that holds nothing yet, however many answers it takes", async () => {
    for (const letter of ["a", "c", "e"]) {
      server.hold({ id: letter.repeat(20), kind: "contact", body: { name: letter } });
      erase(letter.repeat(64), "photo");
    }
    server.mostDocs = 1;
    const before = [...server.docs.values()].length;
    await sync();
    expect(await getMeta("docs_begun")).toBe(before);
    expect(asked()[0]).toBe("/api/docs?after=0&erased_after=0");
    expect(
      asked()
        .slice(1)
        .every((path) => path.endsWith(`erased_after=${before}`)),
    ).toBe(true);
    erase("e".repeat(20), "contact");
    await sync();
    expect((await held("e".repeat(20)))?.body).toBeNull();
  });

  test("is told by a restored server, whose revisions are lower than those that were heard of", async () => {
    const [first, second] = ["a".repeat(20), "b".repeat(20)];
    for (const id of [first, second]) server.hold({ id, kind: "contact", body: { name: id } });
    const backup = server.copy();
    for (const letter of "cdefgh") server.hold({ id: letter.repeat(20), kind: "contact", body: { name: letter } });
    await sync();
    expect(await getMeta("docs_begun")).toBe(8);
    server.restore(backup);
    erase(second, "contact");
    await sync();
    expect(server.docs.get(second)?.rev).toBe(3);
    expect([(await held(first))?.body, (await held(second))?.body]).toEqual([{ name: first }, null]);
  });

  test.each([
    ["its log was thrown away by hand", dropPulled],
    ["the server turned out to be another copy", forgetPulled],
  ])("is told to a station that holds cards and begins again: %s", async (_, begin) => {
    const [first, second] = ["a".repeat(20), "b".repeat(20)];
    for (const id of [first, second]) server.hold({ id, kind: "contact", body: { name: id } });
    await sync();
    erase(second, "contact");
    await begin();
    await load();
    server.mostDocs = 1;
    await sync();
    expect([(await held(first))?.body, (await held(second))?.body]).toEqual([{ name: first }, null]);
  });
});
