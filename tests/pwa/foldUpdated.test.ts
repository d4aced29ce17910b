/** A station that pulled what its program did not know, kept its records, and was then updated (F2.7, F5). */
import "fake-indexeddb/auto";
import eventsTable from "@shared/events.json";
import { beforeEach, expect, test, vi } from "vitest";

const { "lock.changed": _, ...olderKinds } = eventsTable.kinds;
const { lock_changes: __, ...olderJob } = eventsTable.records.job;
const OLDER = { ...eventsTable, kinds: olderKinds, records: { ...eventsTable.records, job: olderJob } };

const JOB = "J7K200002Y";
const event = (seq: number, kind: string, body: object): string =>
  JSON.stringify({ v: 1, kind, station: "S001", incarnation: "7K2", seq, staff: null, at_ms: seq, job: JOB, body });
const LINES = [event(1, "note.added", { note: "before" }), event(2, "lock.changed", { lock: "locked" })]
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
  const log = await import("@pwa/log/pulled.ts");
  await app.load();
  return { app, log, fold: await import("@pwa/fold/fold.ts"), empty: (await import("@pwa/fold/state.ts")).EMPTY };
}

beforeEach(async () => {
  const { withDb } = await import("@pwa/log/db.ts");
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
});

test("the effect of the new kind and the new member are there after the update, as the whole log gives them", async () => {
  const old = await start(true);
  const placed = old.log.readLines(LINES);
  expect(placed.map((p) => "known" in p.event && p.event.known)).toEqual([true, false]);
  old.app.takePulled(placed);
  await old.log.keepChunk(LINES, placed, { epoch: "one", position: 2 }, old.app.notKept());
  expect(old.app.state.value.job.get(JOB)).not.toHaveProperty("lock_changes");

  const now = await start(false);
  const job = now.app.state.value.job.get(JOB);
  expect([job?.lock, job?.lock_changes.length]).toEqual(["locked", 1]);
  const whole = now.fold.fold(
    now.empty,
    now.log.readLines(LINES).map((p) => p.entry),
  );
  expect(await now.app.shownHash()).toBe(await now.fold.stateHash(whole));
});

test("with the same tables the kept records are used", async () => {
  const first = await start(false);
  const placed = first.log.readLines(LINES);
  first.app.takePulled(placed);
  await first.log.keepChunk(LINES, placed, { epoch: "one", position: 2 }, first.app.notKept());
  const { withDb } = await import("@pwa/log/db.ts");
  await withDb((db) => db.chunks.clear());
  const again = await start(false);
  expect(again.app.state.value.job.get(JOB)?.notes.length).toBe(1);
});
