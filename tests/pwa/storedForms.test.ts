/** log/stores.ts: what an earlier version of the app left on a station is what this version shows and goes on with. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { mint } from "@pwa/codes/codes.ts";
import type { NewEvent } from "@pwa/log/append.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { dropStores, fromText, putBack, readStores, type Stored, toText } from "./storedForms.ts";

const FOLDER = new URL("./data/", import.meta.url);
const fileOf = (version: number): URL => new URL(`stores_${version}.ndjson`, FOLDER);
const isStored = (name: string): boolean => /^stores_\d+\.ndjson$/.test(name);

const JOB = mint("J", "7K2", 10).code;
const DEVICE = mint("D", "7K2", 20).code;
const LATER_JOB = mint("J", "7K2", 30).code;
const LATER_DEVICE = mint("D", "7K2", 40).code;

beforeEach(() => {
  vi.resetModules();
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** The app as it starts on what the browser holds. */
async function started() {
  const app = await import("@pwa/current.ts");
  await app.load();
  const { withDb } = await import("@pwa/log/db.ts");
  const { eventId } = await import("@pwa/events/envelope.ts");
  const { countUnsentEvents } = await import("@pwa/sync/unsent.ts");
  const { actAs } = await import("@pwa/actions/act.ts");
  return { ...app, withDb, eventId, countUnsentEvents, actAs };
}

/** What people see of it, and what is still to be sent. */
async function says() {
  const { state, station, signedOn, docs, ownOnTop, withDb, eventId, countUnsentEvents } = await started();
  const jobs = [...state.value.job].map(([code, { stage, model, notes }]) => [code, stage, model, notes.length]);
  const sizes = await withDb(async (db) => (await db.photos.all()).map((p) => [p.sha256, p.bytes.byteLength]));
  const seen = {
    station: station.value,
    signedOn: signedOn.value,
    jobs,
    docs: [...docs.value.keys()].sort(),
    unsent: { events: ownOnTop.value.map(eventId), count: await countUnsentEvents(), photos: sizes },
    docsOut: await withDb((db) => db.docsOut.keys()),
    drafts: await withDb((db) => db.drafts.all()),
    toPrint: await withDb((db) => db.toPrint.all()),
  };
  return JSON.parse(JSON.stringify(seen)) as typeof seen;
}

/** A station in the middle of its day: much of it is on the server, some is not, one entry is kept by its hash alone. */
async function fillStation(): Promise<void> {
  const { joinedToFake } = await import("./syncServer.ts");
  const server = await joinedToFake();
  const { actAs, withDb } = await started();
  const { writeCard } = await import("@pwa/actions/act.ts");
  const { syncRound } = await import("@pwa/sync/round.ts");
  const write = async (events: readonly NewEvent[]): Promise<void> => {
    expect(await actAs("W0A1", () => events)).toMatchObject({ ok: true });
  };
  const photo = (letter: string) => ({ sha256: letter.repeat(64), bytes: new ArrayBuffer(24), type: "image/jpeg" });
  const sync = async (): Promise<void> => expect(await syncRound(() => 5_000, [])).toBeNull();

  server.docs.set("shop", { kind: "settings", body: { shop_name: "Lantern Repairs" }, rev: 1 });
  await writeCard("c".repeat(20), "contact", { name: "Odo Fennimore" });
  await write([{ kind: "station.began", body: { reason: "joined" } }, booked(JOB, DEVICE, "A")]);
  await write([{ kind: "thing.moved", body: { thing: DEVICE, to: "shelf", after: [] } }]);
  await withDb((db) => db.photos.put({ ...photo("a"), job: JOB, at_ms: 1 }));
  await sync();
  server.backedUp = { "7K2": 1 };
  server.backedUpMs = 1;
  await sync();

  await write([
    { kind: "note.added", job: JOB, body: { note: "修 not sent yet" } },
    booked(LATER_JOB, LATER_DEVICE, "B"),
  ]);
  await writeCard("d".repeat(20), "device", { serial: "QL-5-0042" });
  await withDb(async (db) => {
    await db.photos.put({ ...photo("b"), job: LATER_JOB, at_ms: 2 });
    await db.drafts.put({ id: "book", at_ms: 3, value: { model: "Quillet 5", marks: [] } });
    await db.toPrint.put({ id: `tray/${LATER_JOB}`, kind: "tray", fields: { code: LATER_JOB }, at_ms: 4 });
  });
}

const booked = (job: string, device: string, letter: string): NewEvent => ({
  kind: "job.booked",
  job,
  body: {
    device,
    card: "d".repeat(20),
    contact: "c".repeat(20),
    model: "Quillet 5",
    complaint: "No picture",
    lock: "unlocked",
    consents: [],
    promised_at_ms: 1,
    ticket: letter.repeat(26),
  },
});

/** As the version before it would have left it: without what a step adds. */
function without(stored: Stored, version: number, store: string): Stored {
  const { [store]: _, ...shape } = stored.shape;
  const { [store]: __, ...rows } = stored.rows;
  return { ...stored, version, shape, rows };
}

const files = readdirSync(FOLDER).filter(isStored);
const stored: readonly Stored[] = files.map((name) => fromText(readFileSync(new URL(name, FOLDER), "utf8")));
const second = stored.find((s) => s.version === 2);
/** Version 1 had no store of photos that were sent. */
const all: readonly Stored[] = second === undefined ? stored : [without(second, 1, "photosSent"), ...stored];

test("the stores of this version are stored for the versions to come", async () => {
  await fillStation();
  const now = await readStores(await says());
  expect(Object.entries(now.rows).filter(([, rows]) => rows.length === 0)).toEqual([]);
  const file = fileOf(now.version);
  if (!existsSync(file)) {
    writeFileSync(file, toText(now));
    expect.fail(`${file.pathname} was missing and is written now: read it and commit it`);
  }
  // Another shape under the same number: a step was edited. If no shop has it, delete the file and run this test again.
  expect(fromText(readFileSync(file, "utf8")).shape).toEqual(now.shape);
  expect(all.map((s) => s.version)).toEqual(Array.from({ length: now.version }, (_, i) => i + 1));
});

describe.each(all)("stores of version $version", (form) => {
  test("show the same jobs, and the same is left to send", async () => {
    await putBack(form);
    expect(await says()).toEqual(form.says);
  });

  test("have the shape of new ones once this version has opened them", async () => {
    await dropStores();
    await started();
    const { version, shape } = await readStores(null);
    vi.resetModules();
    await putBack(form);
    await says();
    expect(await readStores(null)).toMatchObject({ version, shape });
  });

  test("take further entries, which follow on what was left", async () => {
    await putBack(form);
    const before = await says();
    const { actAs, ownOnTop, station } = await started();
    expect(await actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: "After" } }])).toMatchObject({
      ok: true,
    });
    expect(ownOnTop.value).toHaveLength(before.unsent.events.length + 1);
    expect(station.value?.seq).toBe((before.station?.seq ?? 0) + 1);
  });
});
