/** sync/client.ts: app and server tell each other which format they talk in, and the newer one refuses (F8.10). */
import "fake-indexeddb/auto";
import { actAs } from "@pwa/actions/act.ts";
import { ownOnTop } from "@pwa/current.ts";
import type { NewEvent } from "@pwa/log/append.ts";
import { withDb } from "@pwa/log/db.ts";
import { problemText } from "@pwa/problem.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { countUnsentEvents } from "@pwa/sync/unsent.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";

/** As if the format had been raised by three, and this app still understood the two before. */
vi.mock("@shared/sync_format.json", () => ({ default: { format: 4, oldest: 2 } }));

const HEADER = "Traymark-Format";
const JOB = "J7K200003Z";

let server: Fake;
/** The number that the app named with each request. */
let named: (string | null)[];
/** The number in the server's answers; null for none. */
let answers: string | null;

beforeEach(async () => {
  server = await joinedToFake();
  named = [];
  answers = "4";
  vi.stubGlobal("fetch", async (path: string, init: RequestInit) => {
    named.push(new Headers(init.headers).get(HEADER));
    const answer = await server.answer(path, init);
    if (answers !== null) answer.headers.set(HEADER, answers);
    return answer;
  });
  await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: "kept" } } satisfies NewEvent]);
  await withDb((db) =>
    db.photos.put({ sha256: "a".repeat(64), bytes: new ArrayBuffer(8), type: "image/jpeg", job: JOB, at_ms: 1 }),
  );
});
afterEach(() => {
  vi.unstubAllGlobals();
});

const sync = () => syncRound(() => 5_000, []);

async function expectAllKept(): Promise<void> {
  expect(await countUnsentEvents()).toBe(1);
  expect(ownOnTop.value).toHaveLength(1);
  expect(await withDb((db) => db.photos.count())).toBe(1);
}

test("every request of a round names the app's number, but the one for a picture", async () => {
  expect(await sync()).toBeNull();
  const pictures = server.asked.map((a) => a.path.endsWith("size=thumb"));
  expect(named).toEqual(pictures.map((isPicture) => (isPicture ? null : "4")));
});

test("an app that the server finds too old says what to do, and keeps all", async () => {
  server.instead = () => problem(409, "app-too-old");
  expect(await sync()).toMatchObject({ slug: "app-too-old" });
  expect(server.asked).toHaveLength(1);
  await expectAllKept();
  expect(problemText({ slug: "app-too-old" }).next).toMatch(/load this page again.*newer version.*stays here/i);
  server.instead = () => null;
  expect(await sync()).toBeNull();
  expect(server.notes()).toEqual(["kept"]);
});

describe("a server", () => {
  test("that is too old is told so, with what to do, and all is kept until it is newer", async () => {
    answers = "1";
    expect(await sync()).toMatchObject({ slug: "server-too-old" });
    expect(server.asked).toHaveLength(1);
    await expectAllKept();
    expect(problemText({ slug: "server-too-old" }).next).toMatch(/installs the newer Traymark.*stays here/);
    answers = "2";
    expect(await sync()).toBeNull();
    expect(server.notes()).toEqual(["kept"]);
    expect(await countUnsentEvents()).toBe(0);
  });

  test.each(["2", "3", "4", "5", "41"])(
    "of number %s, the oldest understood or any later one, is synced with",
    async (number) => {
      answers = number;
      expect(await sync()).toBeNull();
      expect(server.notes()).toEqual(["kept"]);
    },
  );

  test.each([null, "", "soon"])("that names no number (%s) is not judged", async (number) => {
    answers = number;
    expect(await sync()).toBeNull();
    expect(server.notes()).toEqual(["kept"]);
  });
});
