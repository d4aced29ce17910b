/** Sending photos: in pieces, going on after a cut, and one that fails holds up no other (F8.5, F8.6). */
import "fake-indexeddb/auto";
import { keptHere } from "@pwa/device/photo.ts";
import { sha256 } from "@pwa/events/chain.ts";
import { withDb } from "@pwa/log/db.ts";
import { countSent, dropBackedUp, keepSent, MOST_BYTES, sendPhotosAgain } from "@pwa/log/sentPhotos.ts";
import { pushPhotos } from "@pwa/sync/photos.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";

const PIECE = 262_144;
const JOB = "J7K200002Y";
let server: Shelf;

/** What the server makes of photos: F8.5 and F8.6 and no more. */
class Shelf {
  readonly parts = new Map<string, Uint8Array>();
  readonly whole = new Map<string, Uint8Array>();
  /** Offset and length of each piece that came. */
  readonly pieces: (readonly [number, number])[] = [];
  /** Said instead, before anything is taken. */
  instead: (asked: { method: string; path: string }) => Response | null = () => null;

  constructor(fake: Fake) {
    fake.instead = (asked) => this.instead(asked) ?? this.#answer(asked);
  }

  #answer({ method, path, bytes }: { method: string; path: string; bytes: Uint8Array }): Response | null {
    const { pathname, searchParams } = new URL(path, "http://localhost");
    const [, , , name = "", part] = pathname.split("/");
    if (part !== "part") {
      if (method === "PUT") this.whole.set(name, bytes);
      return method === "PUT" ? Response.json({ sha256: name }) : new Response("picture");
    }
    const held = this.parts.get(name) ?? new Uint8Array();
    if (method === "POST") {
      const offset = Number(searchParams.get("offset"));
      if (offset !== held.length) return problem(409, "part-offset", { offset: held.length });
      this.pieces.push([offset, bytes.length]);
      const now = new Uint8Array([...held, ...bytes]);
      this.parts.set(name, now);
      if (now.length === Number(searchParams.get("whole"))) this.whole.set(name, now);
    }
    const offset = this.parts.get(name)?.length ?? 0;
    const whole = this.whole.has(name);
    return Response.json(whole ? { sha256: name, whole } : { sha256: name, whole, offset });
  }
}

beforeEach(async () => {
  server = new Shelf(await joinedToFake());
});

/** Keep a photo of so many bytes, unlike any other. */
async function keep(size: number, seed: number): Promise<string> {
  const bytes = new Uint8Array(size).map((_, i) => (i * 31 + seed) % 251);
  const hash = await sha256(bytes.buffer);
  await withDb((db) => db.photos.put({ sha256: hash, bytes: bytes.buffer, type: "image/jpeg", job: JOB, at_ms: seed }));
  return hash;
}

const left = (): Promise<string[]> => withDb((db) => db.photos.keys());
const after = (count: number, answer: () => Response) => {
  let taken = 0;
  return ({ method }: { method: string }): Response | null => (method === "POST" && taken++ >= count ? answer() : null);
};
const cut = (): never => {
  throw new TypeError("Failed to fetch");
};

test("a large photo goes in pieces and leaves the station once the server has the whole of it", async () => {
  const name = await keep(2 * PIECE + 100, 1);
  expect(await pushPhotos(() => 5_000)).toBeNull();
  expect(server.pieces).toEqual([
    [0, PIECE],
    [PIECE, PIECE],
    [2 * PIECE, 100],
  ]);
  expect(await sha256((server.whole.get(name) as Uint8Array).slice().buffer)).toBe(name);
  expect(await left()).toEqual([]);
});

test("after a cut in the middle the photo goes on where the server has it up to", async () => {
  const name = await keep(3 * PIECE, 1);
  server.instead = after(2, cut);
  expect(await pushPhotos(() => 5_000)).toBe("offline");
  expect(await left()).toEqual([name]);
  server.instead = () => null;
  expect(await pushPhotos(() => 5_000)).toBeNull();
  expect(server.pieces.map(([offset]) => offset)).toEqual([0, PIECE, 2 * PIECE]);
});

test("a piece that arrived although its answer was lost is not sent again", async () => {
  const name = await keep(2 * PIECE, 1);
  server.parts.set(name, new Uint8Array(2 * PIECE).map((_, i) => (i * 31 + 1) % 251).slice(0, PIECE));
  expect(await pushPhotos(() => 5_000)).toBeNull();
  expect(server.pieces).toEqual([[PIECE, PIECE]]);
});

test("a server that lost the beginning gets it again", async () => {
  const name = await keep(3 * PIECE, 1);
  let lost = false;
  server.instead = ({ method }) => {
    if (method === "POST" && server.pieces.length === 2 && !lost) {
      lost = true;
      server.parts.delete(name);
    }
    return null;
  };
  expect(await pushPhotos(() => 5_000)).toBeNull();
  expect(server.pieces.map(([offset]) => offset)).toEqual([0, PIECE, 0, PIECE, 2 * PIECE]);
});

test("a server that always says another place is left alone, and the photo stays", async () => {
  const name = await keep(2 * PIECE, 1);
  let asked = 0;
  server.instead = ({ method }) => {
    if (method !== "POST") return null;
    asked += 1;
    return problem(409, "part-offset", { offset: 7 });
  };
  expect(await pushPhotos(() => 5_000)).toMatchObject({ slug: "part-offset" });
  expect(asked).toBeLessThan(6);
  expect(await left()).toEqual([name]);
});

test.each([
  ["an empty answer", {}],
  ["another photo's answer", { sha256: "0".repeat(64), whole: true }],
  ["an offset beyond the photo", { whole: false, offset: 9 * PIECE }],
])("%s of whoever answers confirms nothing", async (_, said) => {
  const name = await keep(2 * PIECE, 1);
  server.instead = ({ method }) => (method === "GET" ? Response.json({ sha256: name, ...said }) : null);
  if (Object.keys(said).length === 0) server.instead = () => Response.json({});
  expect(await pushPhotos(() => 5_000)).toBe("offline");
  expect(await left()).toEqual([name]);
});

test("a photo that the server refuses stays, is told, and holds up no other", async () => {
  const [bad, good, small] = [await keep(2 * PIECE, 1), await keep(2 * PIECE, 2), await keep(90, 3)];
  server.instead = ({ path }) => (path.includes(bad) ? problem(422, "blob-not-image") : null);
  expect(await pushPhotos(() => 5_000)).toMatchObject({
    slug: "blob-not-image",
    detail: expect.stringContaining("J7K20"),
  });
  expect(await left()).toEqual([bad]);
  expect([...server.whole.keys()].sort()).toEqual([good, small].sort());
});

test("a small photo goes at once", async () => {
  const name = await keep(1_000, 1);
  expect(await pushPhotos(() => 5_000)).toBeNull();
  expect([...server.whole.keys()]).toEqual([name]);
  expect(server.pieces).toEqual([]);
});

describe("a photo that the server has", () => {
  const sent = (): Promise<string[]> => withDb((db) => db.photosSent.keys());

  test("stays here until a good backup has it", async () => {
    const name = await keep(1_000, 1);
    expect(await pushPhotos(() => 100_000)).toBeNull();
    expect([await left(), await sent()]).toEqual([[], [name]]);
    expect(await keptHere(name)).toMatchObject({ sha256: name });
    await dropBackedUp(100_000); // it may have been made just before
    expect(await sent()).toEqual([name]);
    await dropBackedUp(200_000);
    expect([await sent(), await countSent()]).toEqual([[], { count: 0, bytes: 0 }]);
  });

  test("is sent again when the server turns out to be an older copy", async () => {
    const name = await keep(1_000, 1);
    await pushPhotos(() => 100_000);
    server.whole.clear();
    await sendPhotosAgain();
    expect([await left(), await sent()]).toEqual([[name], []]);
    expect(await pushPhotos(() => 200_000)).toBeNull();
    expect([...server.whole.keys()]).toEqual([name]);
  });

  test("goes before others when there is no room for all", async () => {
    const half = MOST_BYTES / 2;
    const photo = (sha256: string, size: number) => ({
      sha256,
      bytes: new ArrayBuffer(size),
      type: "",
      job: JOB,
      at_ms: 0,
    });
    await keepSent(photo("first", half), 1);
    await keepSent(photo("second", half), 2);
    expect(await countSent()).toEqual({ count: 2, bytes: MOST_BYTES });
    await keepSent(photo("third", 10), 3);
    expect([await sent(), (await countSent()).bytes]).toEqual([["second", "third"], half + 10]);
  });
});
