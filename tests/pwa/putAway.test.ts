/**
 * log/live.ts, giveUp.ts, archive.ts, visited.ts, sync/earlier.ts: what a station begins with, gives up, and reads again
 * from the server (F8.7 to F8.9).
 */
import "fake-indexeddb/auto";
import { findPutAway, readEarlier, readPutAway } from "@pwa/actions/archive.ts";
import { bookIn, newBooking } from "@pwa/actions/book.ts";
import { docs, load, shownHash, state, visited } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { isAway, isFromArchive } from "@pwa/facts/things.ts";
import { getMeta, putMeta, withDb } from "@pwa/log/db.ts";
import { pulledAbout } from "@pwa/log/pulled.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { cameBack } from "@pwa/sync/status.ts";
import { findJobs } from "@pwa/views/find.ts";
import { logAbout } from "@pwa/views/jobEvents.ts";
import { NOTHING_VISITED } from "@pwa/visited.ts";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { type Fake, joinedToFake, problem } from "./syncServer.ts";
import { cardOf, named } from "./texts.ts";

const JOB = "J7K300003Z";
const OTHER = "J7K300002Y";
const DEVICE = "D7K3000010";
const CARD = "a".repeat(20);
const CONTACT = "b".repeat(20);
const BOOKED = {
  device: DEVICE,
  card: CARD,
  contact: CONTACT,
  model: "Quillet 5",
  complaint: "Dark display",
  consents: [],
  ticket: "A".repeat(26),
};
/** The id of what was wrong with it. */
const COMPLAINT = cardOf(BOOKED.complaint, JOB).id;

let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
  visited.value = NOTHING_VISITED;
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** Another station's next event, and its texts. */
function theirs(kind: string, body: object, job: string | null = JOB): void {
  const seq = 1 + server.log.filter((l) => l.incarnation === "7K3").length;
  const of = job ?? DEVICE;
  const raw = JSON.stringify({
    v: 1,
    kind,
    station: "S002",
    incarnation: "7K3",
    seq,
    staff: null,
    at_ms: seq,
    job,
    body: named(kind, body, of, (card) => server.hold(card)),
  });
  server.log.push({ incarnation: "7K3", seq, raw, hash: "" });
}

async function sync(): Promise<void> {
  const refusals: unknown[] = [];
  expect(await syncRound(() => 5_000, refusals as never[])).toBeNull();
  expect(refusals).toEqual([]);
}

/** A job as the station holds it, with its cards. */
async function held(): Promise<void> {
  theirs("job.booked", BOOKED);
  theirs("job.started", { procedure: "quillet5-display", revision: 1 });
  theirs("leftover.checked", { photos: [], traces: "none" });
  theirs("job.handed_over", { device: DEVICE, checked: "scanned" });
  theirs("thing.moved", { thing: DEVICE, to: "customer", after: [] }, null);
  server.docs.set(CARD, { kind: "device", body: { imei: "490154203237518" }, rev: 1 });
  server.docs.set(CONTACT, { kind: "contact", body: { name: "Ilse Marrow" }, rev: 2 });
  await sync();
}

/** What the server's archive answers with. */
function archive(): string {
  const rows = [
    `job\t${JOB}\t${JSON.stringify(state.value.job.get(JOB))}`,
    `thing\t${DEVICE}\t${JSON.stringify(state.value.thing.get(DEVICE))}`,
  ];
  const cards = [...server.docs].map(([id, doc]) => JSON.stringify({ id, ...doc }));
  const lines = server.log.map((l, i) => `${i + 1}\t-\t${l.raw}`);
  return [...rows, "", ...cards, "", ...lines, ""].join("\n");
}

/** The job is put away, and the server has it in its archive. */
async function away(): Promise<string> {
  await held();
  const answer = archive();
  theirs("job.put_away", { things: [DEVICE] });
  await sync();
  server.docs.clear();
  server.instead = ({ path }) => (path.startsWith("/api/archive") ? new Response(answer) : null);
  return answer;
}

const kept = (store: "docs" | "records") => withDb(async (db) => (await db[store].keys()).map(String));

test("what is put away is given up: records, lines and cards", async () => {
  await putMeta("backed_up_rev", 1_000);
  await held();
  expect((await pulledAbout(JOB)).length).toBe(4);
  expect(await kept("docs")).toEqual([CARD, CONTACT, COMPLAINT].sort());
  theirs("job.put_away", { things: [DEVICE] });
  await sync();
  expect(state.value.job.has(JOB)).toBe(false);
  expect([isAway(JOB), isAway(DEVICE)]).toEqual([true, true]);
  expect(await pulledAbout(JOB)).toEqual([]);
  expect(await withDb((db) => db.chunks.count())).toBe(0);
  expect(await kept("docs")).toEqual([]);
  expect([CARD, CONTACT, COMPLAINT].filter((id) => docs.value.has(id))).toEqual([]);
  expect(await kept("records")).toEqual(["chain,7K3"]);
  expect(await shownHash()).toBe(await server.stateHash());
});

test("the history of a live job stays", async () => {
  await held();
  theirs("note.added", { note: "of another job" }, OTHER);
  theirs("job.put_away", { things: [DEVICE] });
  await sync();
  expect((await pulledAbout(OTHER)).length).toBe(1);
  expect(await pulledAbout(JOB)).toEqual([]);
});

test("a live state that does not fit its hash is not taken", async () => {
  theirs("job.booked", BOOKED);
  const whole = await (await server.answer("/api/live", {})).text();
  server.instead = ({ path }) => (path === "/api/live" ? new Response(whole.replace("Quillet 5", "Quillet 6")) : null);
  const refusals: { slug: string }[] = [];
  await syncRound(() => 5_000, refusals as never[]);
  expect(refusals.map((r) => r.slug)).toEqual(["live-state-unsound"]);
  expect(state.value.job.has(JOB)).toBe(false);
  expect(await getMeta("cursor")).toBeUndefined();
});

test("records that cannot be read are fetched again, when the log here is not whole any more", async () => {
  await away();
  await withDb((db) => db.records.put({ collection: "job", key: "J", record: 5 }));
  await putMeta("times_forgotten", 1 + Math.floor(1e9 * Math.random()));
  await load();
  expect(state.value.chain.size).toBe(0);
  await sync();
  expect(await shownHash()).toBe(await server.stateHash());
});

test("it is read from the server with its history and cards, and kept nowhere", async () => {
  await putMeta("backed_up_rev", 1_000);
  await away();
  expect(await readPutAway({ code: JOB })).toMatchObject({ ok: true, value: JOB });
  expect(said(state.value.job.get(JOB)?.complaint ?? null)).toBe("Dark display");
  expect([isAway(JOB), isFromArchive(JOB)]).toEqual([false, true]);
  expect(docs.value.get(CONTACT)?.body).toEqual({ name: "Ilse Marrow" });
  expect((await logAbout(JOB)).map((p) => p.position)).toEqual([1, 2, 3, 4]);
  expect(await shownHash()).toBe(await server.stateHash());
  await sync();
  expect([await kept("docs"), await kept("records")]).toEqual([[], ["chain,7K3"]]);
  await load();
  expect(docs.value.get(CONTACT)?.body).toEqual({ name: "Ilse Marrow" });
});

test("what comes late while it is looked at is shown, and waits for a lead", async () => {
  await away();
  await readPutAway({ code: JOB });
  theirs("note.added", { note: "came late" });
  await sync();
  expect(state.value.job.get(JOB)?.notes.map((n) => said(n.note))).toEqual(["came late"]);
  expect((await logAbout(JOB)).length).toBe(5);
  expect(Object.values(state.value.chain.get("7K3")?.late ?? {}).map((l) => l.code)).toEqual([JOB]);
  expect(await shownHash()).toBe(await server.stateHash());
});

test("without a network it says so, and of what is nowhere too", async () => {
  await away();
  server.instead = () => problem(502, "");
  expect(await readPutAway({ code: JOB })).toMatchObject({ ok: false, problem: { slug: "put-away-offline" } });
  server.instead = ({ path }) => (path.startsWith("/api/archive") ? new Response("\n\n") : null);
  expect(await readPutAway({ ticket: "C".repeat(26) })).toMatchObject({
    ok: false,
    problem: { slug: "not-found-anywhere" },
  });
});

test("a job is found by words: at once when it is here, else once the server was asked", async () => {
  await held();
  const found = (words: string) => findJobs(words).map((f) => [f.code, f.name, f.isPutAway]);
  for (const words of ["marrow", "Ilse M", "490154", "quillet dark", JOB.slice(0, 5)])
    expect(found(words), words).toEqual([[JOB, "Ilse Marrow", false]]);
  for (const words of ["", "  ", "orrow ilsa", "other"]) expect(found(words), words).toEqual([]);
  const answer = archive();
  theirs("job.put_away", { things: [DEVICE] });
  await sync();
  expect(found("marrow")).toEqual([]);
  server.instead = ({ path }) => (path === "/api/archive?words=marrow" ? new Response(answer) : null);
  expect(await findPutAway("ma")).toMatchObject({ ok: false, problem: { slug: "field-missing" } });
  expect(await findPutAway(" marrow ")).toEqual({ ok: true, value: [JOB] });
  expect(found("marrow")).toEqual([[JOB, "Ilse Marrow", true]]);
});

/** As the counter fills it in, for a device that is kept safe: the shortest booking. */
const booking = (imei: string) => ({
  ...newBooking(),
  safety: { wet: "no", bulging: "yes", hot: "no" } as const,
  model: "Quillet 5",
  name: "Ilse Marrow",
  complaint: "Bulging",
  imei,
});
const number = (imei: string) => ({ imei, serial: "", device: null });

test("a device that was here before is known by its number, and gets a new label", async () => {
  await away();
  expect(await readEarlier(number("490154203237518"))).toMatchObject({ ok: true, value: [JOB] });
  const booked = await bookIn(booking("490154203237518"));
  expect(booked).toEqual({ ok: true, value: expect.any(String) });
  const job = state.value.job.get(booked.ok ? booked.value : "");
  expect(job?.device).toMatch(/^D7K2/);
  expect(await getMeta("to_ask")).toBeUndefined();
});

test("booked in without a network, the server is asked later and the counter is told", async () => {
  const answer = await away();
  server.instead = () => problem(502, "");
  expect((await readEarlier(number("356938035643809"))).ok).toBe(false);
  const booked = await bookIn(booking("356938035643809"));
  expect(booked).toEqual({ ok: true, value: expect.any(String) });
  expect(await getMeta("to_ask")).toMatchObject([{ query: "imei=356938035643809&serial=" }]);
  server.instead = ({ path }) => (path.startsWith("/api/archive") ? new Response(answer) : null);
  await sync();
  const job = booked.ok && booked.value;
  expect(cameBack.value).toEqual([{ job, earlier: JOB, complaint: "Dark display", text: COMPLAINT }]);
  expect(await getMeta("to_ask")).toEqual([]);
});
