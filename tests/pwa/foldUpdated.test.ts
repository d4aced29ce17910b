/** A station that pulled what its program did not know, kept its records, and was then updated (F2.7, F5, F8.7). */
import "fake-indexeddb/auto";
import eventsTable from "@shared/events.json";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

const { "lock.changed": _, ...olderKinds } = eventsTable.kinds;
const { lock_changes: __, ...olderJob } = eventsTable.records.job;
const OLDER = { ...eventsTable, kinds: olderKinds, records: { ...eventsTable.records, job: olderJob } };

const JOB = "J7K200002Y";
const event = (seq: number, kind: string, body: object): string =>
  JSON.stringify({ v: 1, kind, station: "S001", incarnation: "7K2", seq, staff: null, at_ms: seq, job: JOB, body });
const LINES = [event(1, "note.added", { note: "a".repeat(64) }), event(2, "lock.changed", { lock: "locked" })]
  .map((text, i) => `${i + 1}\t-\t${text}`)
  .join("\n");

/** The app as it is with these tables; what the browser keeps stays. */
async function start(older: boolean) {
  vi.resetModules();
  vi.doUnmock("@shared/events.json");
  vi.doUnmock("@pwa/events/kinds.gen.ts");
  if (older) {
    vi.doMock("@shared/events.json", () => ({ default: OLDER }));
    vi.doMock("@pwa/events/kinds.gen.ts", () => ({ FOLD_TABLES: "older" }));
  }
  const app = await import("@pwa/current.ts");
  await app.load();
  return {
    app,
    log: await import("@pwa/log/pulled.ts"),
    pull: (await import("@pwa/sync/pull.ts")).pullEvents,
    fold: await import("@pwa/fold/fold.ts"),
    empty: (await import("@pwa/fold/state.ts")).EMPTY,
  };
}

/** A server of the present version, whose log has these lines. */
async function serve() {
  const { fold, empty, log } = await start(false);
  const whole = fold.fold(
    empty,
    log.readLines(LINES).map((p) => p.entry),
  );
  const hash = await fold.stateHash(whole);
  const header = { epoch: "one", position: 2, head: "", hash, fold: fold.foldName(), now_ms: 0 };
  const records = Object.entries(whole).flatMap(([collection, all]) =>
    [...all].map(([key, record]) => `${collection}\t${key}\t${JSON.stringify(record)}`),
  );
  const live = [JSON.stringify(header), ...records, "", LINES, ""].join("\n");
  const nothingNew = JSON.stringify({
    epoch: "one",
    reset: false,
    from: 3,
    to: 2,
    last: 2,
    head: "",
    now_ms: 0,
    backed_up_ms: null,
    chain: null,
  });
  vi.stubGlobal("fetch", async (path: string) => new Response(path === "/api/live" ? live : `${nothingNew}\n`));
  return hash;
}

/** The older app pulls both events one by one, and keeps what it makes of them. */
async function pullOlder(): Promise<void> {
  const old = await start(true);
  const placed = old.log.readLines(LINES);
  expect(placed.map((p) => "known" in p.event && p.event.known)).toEqual([true, false]);
  old.app.takePulled(placed);
  await old.log.keepChunk(LINES, placed, { epoch: "one", position: 2, head: "" }, old.app.notKept());
  expect(old.app.state.value.job.get(JOB)).not.toHaveProperty("lock_changes");
}

beforeEach(async () => {
  const { withDb } = await import("@pwa/log/db.ts");
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
});
afterEach(() => {
  vi.unstubAllGlobals();
});

test("the effect of the new kind and the new member are there after the update, as the whole log gives them", async () => {
  const hash = await serve();
  await pullOlder();
  const now = await start(false);
  // Without the network the older records are shown; what they lack is blank.
  expect(now.app.state.value.job.get(JOB)).toMatchObject({ lock: null, lock_changes: [] });
  expect(await now.pull(() => 0)).toBeNull();
  expect(now.app.state.value.job.get(JOB)).toMatchObject({ lock: "locked", lock_changes: [{ lock: "locked" }] });
  expect(await now.app.shownHash()).toBe(hash);
});

test("an older app takes a newer server's live state, whose hash it cannot compare", async () => {
  await serve();
  const old = await start(true);
  expect(await old.pull(() => 0)).toBeNull();
  expect(old.app.state.value.job.get(JOB)?.lock).toBe("locked");
});

test("with the same tables the kept records are used", async () => {
  const first = await start(false);
  const placed = first.log.readLines(LINES);
  first.app.takePulled(placed);
  await first.log.keepChunk(LINES, placed, { epoch: "one", position: 2, head: "" }, first.app.notKept());
  const { withDb } = await import("@pwa/log/db.ts");
  await withDb((db) => db.chunks.clear());
  const again = await start(false);
  expect(again.app.state.value.job.get(JOB)?.notes.length).toBe(1);
});
