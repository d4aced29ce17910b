/** sw/pictures.ts and log/pictures.ts: photos are kept where the station can forget them. */
import { dropPictures, forgetPictures } from "@pwa/log/pictures.ts";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

/** Cache Storage, in the parts that are used: addresses in the order of their coming. */
class FakeCache {
  readonly held = new Map<string, Response>();
  full = false;
  async match(url: string): Promise<Response | undefined> {
    return this.held.get(url)?.clone();
  }
  async put(url: string, answer: Response): Promise<void> {
    if (this.full) throw new DOMException("no room", "QuotaExceededError");
    this.held.set(url, answer);
  }
  async keys(): Promise<readonly string[]> {
    return [...this.held.keys()];
  }
  async delete(asked: string, options?: { readonly ignoreSearch?: boolean }): Promise<boolean> {
    const wanted = new URL(asked, AT).href;
    const found = [...this.held.keys()].filter((url) =>
      options?.ignoreSearch === true ? url.split("?")[0] === wanted : url === wanted,
    );
    for (const url of found) this.held.delete(url);
    return found.length > 0;
  }
}

const AT = "https://shop.test";
const name = (number: number): string => number.toString(16).padStart(64, "0");
const address = (number: number, size = "?size=thumb"): string => `${AT}/api/blobs/${name(number)}${size}`;

let kept: Map<string, FakeCache>;
let answers: ReturnType<typeof vi.fn>;
let worker: typeof import("@pwa/sw/pictures.ts");
beforeEach(async () => {
  kept = new Map([["workbox-precache-v2-x", new FakeCache()]]);
  vi.stubGlobal("caches", {
    open: async (at: string) => kept.get(at) ?? kept.set(at, new FakeCache()).get(at),
    keys: async () => [...kept.keys()],
    delete: async (at: string) => kept.delete(at),
  });
  answers = vi.fn(async () => new Response("picture"));
  vi.stubGlobal("fetch", answers);
  vi.resetModules();
  worker = await import("@pwa/sw/pictures.ts");
});
afterEach(() => {
  vi.unstubAllGlobals();
});

const look = async (url: string): Promise<string> => (await worker.picture(new Request(url))).text();
const offline = (): void => {
  answers.mockRejectedValue(new TypeError("Failed to fetch"));
};

test("a photo that was seen is seen without a network, in the size in which it was seen", async () => {
  expect(await look(address(1))).toBe("picture");
  offline();
  expect(await look(address(1))).toBe("picture");
  expect(answers).toHaveBeenCalledTimes(1);
  await expect(look(address(1, ""))).rejects.toThrow("Failed to fetch");
});

test("a refusal is handed on and not kept", async () => {
  answers.mockResolvedValue(new Response("taken out", { status: 401 }));
  expect((await worker.picture(new Request(address(1)))).status).toBe(401);
  offline();
  await expect(look(address(1))).rejects.toThrow("Failed to fetch");
});

test("without room a photo is shown all the same", async () => {
  const small = new FakeCache();
  small.full = true;
  kept.set("pictures-small", small);
  expect(await look(address(1))).toBe("picture");
});

test("of whole photos the newest are kept, and a few more until it is looked through again", async () => {
  answers.mockImplementation(async () => new Response("picture"));
  for (let number = 1; number <= 151; number += 1) await look(address(number, ""));
  const numbers = [...(kept.get("pictures-whole")?.held.keys() ?? [])].map((url) => Number(`0x${url.slice(-64)}`));
  expect(numbers[0]).toBe(92);
  expect(numbers).toHaveLength(60);
});

test.each([
  [`/api/blobs/${name(1)}`, true],
  [`/api/blobs/${name(1)}/part`, false],
  ["/api/blobs/AB", false],
  ["/api/docs", false],
])("%s is a photo: %s", (path, isOne) => {
  expect(worker.isPicture(new URL(path, AT))).toBe(isOne);
});

test("all of them are forgotten at once, and the app's own files stay", async () => {
  await look(address(1));
  await look(address(2, ""));
  await forgetPictures();
  expect([...kept.keys()]).toEqual(["workbox-precache-v2-x"]);
  offline();
  await expect(look(address(1))).rejects.toThrow("Failed to fetch");
});

test("those of an erased photo go in every size, the others stay", async () => {
  answers.mockImplementation(async () => new Response("picture"));
  for (const url of [address(1), address(1, ""), address(2)]) await look(url);
  await dropPictures([name(1)]);
  expect([...kept.values()].flatMap((cache) => [...cache.held.keys()])).toEqual([address(2)]);
});

test("where a browser has no such storage there is nothing to forget", async () => {
  vi.stubGlobal("caches", undefined);
  await forgetPictures();
  await dropPictures([name(1)]);
});
