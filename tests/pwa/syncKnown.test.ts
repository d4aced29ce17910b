/**
 * sync/pullDocs.ts, pushDocs.ts, tellErased.ts, log/forgetPulled.ts, giveUp.ts: what a station offers a server whose
 * data are an older copy, and for how long it keeps cards for that (F7.11, F8.4, F8.9).
 */
import "fake-indexeddb/auto";
import { docs } from "@pwa/current.ts";
import { getMeta, putMeta, type StationRow, withDb } from "@pwa/log/db.ts";
import { giveUpCards } from "@pwa/log/giveUp.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { type Fake, joinedToFake } from "./syncServer.ts";

const card = (n: number): string => `${n}`.padStart(20, "c");
const PHOTO = "f".repeat(64);
const STAFF = "staff:W0A9";

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
});
afterEach(() => {
  vi.unstubAllGlobals();
});

async function sync(): Promise<void> {
  const refusals: unknown[] = [];
  expect(await syncRound(() => 5_000, refusals as never[])).toBeNull();
  expect(refusals).toEqual([]);
}

async function asLead(): Promise<void> {
  server.role = "lead";
  await putMeta("station", { ...((await getMeta<StationRow>("station")) as StationRow), role: "lead" });
}

const hold = (n: number, name: string): void => server.hold({ id: card(n), kind: "contact", body: { name } });
const theirs = (id: string): unknown => server.docs.get(id)?.body;
const shown = (id: string): unknown => docs.value.get(id)?.body;

describe("a copy of the data that was put back by hand", () => {
  test("is noticed although it has given out as many revisions since, and gets what it lacks", async () => {
    hold(1, "before");
    const copy = server.copy();
    hold(2, "lost");
    hold(1, "changed");
    await sync();
    server.putBack(copy);
    for (const n of [3, 4, 5, 6]) hold(n, `since ${n}`);
    await sync();
    expect([1, 2, 3, 6].map((n) => theirs(card(n)))).toEqual([
      { name: "changed" },
      { name: "lost" },
      { name: "since 3" },
      { name: "since 6" },
    ]);
    await sync();
    for (const [id, doc] of server.docs) expect(shown(id)).toEqual(doc.body);
    expect(await getMeta("docs_known")).toBeUndefined();
  });

  test("a server that is only started again tells nothing a second time", async () => {
    hold(1, "before");
    await sync();
    server.putBack(server.copy());
    hold(2, "after");
    server.asked.length = 0;
    await sync();
    expect(server.asked.filter((a) => a.path.startsWith("/api/docs?after=0"))).toEqual([]);
    expect(shown(card(2))).toEqual({ name: "after" });
  });
});

describe("documents that a restored server lacks", () => {
  const SETTINGS = { shop_name: "after the backup" };

  async function restored(): Promise<void> {
    server.hold({ id: "shop", kind: "settings", body: { shop_name: "before" } });
    const copy = server.copy();
    server.hold({ id: "shop", kind: "settings", body: SETTINGS });
    server.hold({ id: STAFF, kind: "staff", body: { name: "Kim" } });
    await sync();
    server.restore(copy);
  }

  test("are brought by a lead's station, against the revision there", async () => {
    await asLead();
    await restored();
    await sync();
    expect([theirs("shop"), theirs(STAFF)]).toEqual([SETTINGS, { name: "Kim" }]);
    await sync();
    expect([shown("shop"), shown(STAFF)]).toEqual([SETTINGS, { name: "Kim" }]);
    expect(await withDb((db) => db.docsOut.count())).toBe(0);
    expect((await withDb((db) => db.docs.get("shop"))) ?? {}).not.toHaveProperty("base");
  });

  test("are left as they are when somebody wrote them since", async () => {
    await asLead();
    await restored();
    // Between the station's look and its offer.
    server.instead = ({ method, path }) => {
      if (method === "PUT" && path === "/api/docs/shop")
        server.hold({ id: "shop", kind: "settings", body: { shop_name: "written anew" } });
      return null;
    };
    await sync();
    server.instead = () => null;
    await sync();
    expect([theirs("shop"), shown("shop")]).toEqual([{ shop_name: "written anew" }, { shop_name: "written anew" }]);
    expect(await withDb((db) => db.docsOut.count())).toBe(0);
  });

  test("are not brought by another station", async () => {
    await restored();
    await sync();
    expect([theirs("shop"), theirs(STAFF)]).toEqual([{ shop_name: "before" }, undefined]);
    expect(shown("shop")).toEqual({ shop_name: "before" });
  });
});

describe("what was erased after the backup", () => {
  const erase = (id: string, kind: string): void => server.hold({ id, kind, body: null });

  async function restoredWithoutErasures(): Promise<void> {
    hold(1, "to be erased");
    hold(2, "to stay");
    const copy = server.copy();
    await sync();
    erase(card(1), "contact");
    erase(PHOTO, "photo");
    await sync();
    server.restore(copy);
  }

  test("is erased again at the word of a lead's station, which does not get it back meanwhile", async () => {
    await asLead();
    await restoredWithoutErasures();
    const seen: unknown[] = [];
    server.instead = () => {
      seen.push(shown(card(1)));
      return null;
    };
    await sync();
    expect(seen.filter((body) => body != null)).toEqual([]);
    expect(server.erasedAgain.sort()).toEqual([card(1), PHOTO].sort());
    expect(theirs(card(1))).toBeNull();
    await sync();
    expect([shown(card(1)) ?? null, shown(card(2))]).toEqual([null, { name: "to stay" }]);
    expect(await getMeta("erased_due")).toBeUndefined();
    server.erasedAgain.length = 0;
    await sync();
    expect(server.erasedAgain).toEqual([]);
  });

  test("is not at that of another", async () => {
    await restoredWithoutErasures();
    await sync();
    expect(server.erasedAgain).toEqual([]);
    expect(await getMeta("erased_known")).toBeUndefined();
  });

  test("need not be remembered once a backup has it", async () => {
    await asLead();
    hold(1, "to be erased");
    await sync();
    erase(card(1), "contact");
    await sync();
    expect(Object.keys((await getMeta<object>("erased_known")) ?? {})).toEqual([card(1)]);
    server.backedUpMs = 4_000;
    server.backedUpRev = 2;
    await sync();
    expect(await getMeta("erased_known")).toEqual({});
  });
});

describe("cards that nothing live names", () => {
  const held = async (): Promise<readonly string[]> =>
    (await withDb((db) => db.docs.keys())).filter((id) => id !== "shop");

  test("stay until a good backup has them", async () => {
    hold(1, "one");
    hold(2, "two");
    await sync();
    expect(await giveUpCards(() => false)).toEqual([]);
    server.backedUpMs = 4_000;
    server.backedUpRev = 1;
    await sync();
    expect(await held()).toEqual([card(2)]);
  });

  test("the newest thousand of them", async () => {
    await withDb((db) =>
      db.docs.putMany(
        Array.from({ length: 1_003 }, (_, n) => ({
          id: card(n),
          kind: "contact",
          rev: 5_000 - n,
          body: { name: `${n}` },
        })),
      ),
    );
    expect([...(await giveUpCards(() => false))].sort()).toEqual([1_000, 1_001, 1_002].map(card).sort());
  });
});
