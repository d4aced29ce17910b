/** log/tabs.ts, sync/loop.ts: one writer at a time, one speaker, and what tabs tell each other. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";

/** Web Locks as two tabs share them: whoever asks waits until the holder's work has ended. */
class FakeLocks {
  readonly held: string[] = [];
  readonly #last = new Map<string, Promise<unknown>>();
  request<T>(name: string, work: () => Promise<T>): Promise<T> {
    const run = (this.#last.get(name) ?? Promise.resolve()).then(async () => {
      this.held.push(name);
      return work();
    });
    this.#last.set(
      name,
      run.catch(() => undefined),
    );
    return run;
  }
}

type Tab = typeof import("@pwa/log/tabs.ts");

async function openTab(): Promise<Tab> {
  vi.resetModules();
  return import("@pwa/log/tabs.ts");
}

let locks: FakeLocks;
beforeEach(() => {
  locks = new FakeLocks();
  vi.stubGlobal("navigator", { locks });
});
afterEach(() => {
  vi.unstubAllGlobals();
});

test("two tabs never write at the same time, also after one failed", async () => {
  const [one, two] = [await openTab(), await openTab()];
  let writing = 0;
  let most = 0;
  const write = async (): Promise<void> => {
    writing += 1;
    most = Math.max(most, writing);
    await Promise.resolve();
    writing -= 1;
  };
  const fails = one.alone(() => Promise.reject(new Error("full")));
  await Promise.allSettled([fails, ...Array.from({ length: 20 }, (_, i) => (i % 2 === 0 ? one : two).alone(write))]);
  await expect(fails).rejects.toThrow("full");
  expect(most).toBe(1);
  expect(locks.held).toHaveLength(21);
});

test("without Web Locks a tab still writes one thing after another", async () => {
  vi.stubGlobal("navigator", {});
  const tab = await openTab();
  const order: string[] = [];
  const slow = tab.alone(async () => {
    await Promise.resolve();
    order.push("first");
  });
  const failing = tab.alone(() => Promise.reject(new Error("full")));
  const last = tab.alone(async () => order.push("last"));
  await expect(failing).rejects.toThrow("full");
  await Promise.all([slow, last]);
  expect(order).toEqual(["first", "last"]);
});

test("only one of two tabs becomes the speaker", async () => {
  const [one, two] = [await openTab(), await openTab()];
  const speakers: string[] = [];
  void two.becomeSpeaker().then(() => speakers.push("two"));
  await one.alone(async () => undefined);
  void one.becomeSpeaker().then(() => speakers.push("one"));
  await one.alone(async () => undefined);
  await two.alone(async () => undefined);
  expect(speakers).toEqual(["two"]);
});

test("news of the store and news of the speaker are heard apart, by the other tab only", async () => {
  const [one, two] = [await openTab(), await openTab()];
  const heard: unknown[] = [];
  one.onTabNews(
    (news) => heard.push(["one", news]),
    (news) => heard.push(["one", news]),
  );
  const done = new Promise<void>((resolve) => {
    two.onTabNews(
      (news) => heard.push(["store", news]),
      (news) => {
        heard.push(["speaker", news]);
        resolve();
      },
    );
  });
  one.tellTabs("own");
  one.tellTabs({ told: { reach: "reached" } });
  await done;
  expect(heard).toEqual([
    ["store", "own"],
    ["speaker", { told: { reach: "reached" } }],
  ]);
});

test("a tab that does not talk to the server asks the one that does", async () => {
  const speaker = await openTab();
  const heard = new Promise((resolve) => speaker.onTabNews(resolve, () => undefined));
  vi.resetModules();
  const { syncSoon } = await import("@pwa/sync/loop.ts");
  syncSoon();
  expect(await heard).toBe("sync");
});
