/** Sending what only this station has: cards and events (photos.ts: photos). Each part drains by itself and can be repeated freely. */
import { pulledSeq } from "../current.ts";
import { genesis } from "../events/chain.ts";
import { type Doc, getMeta, type OwnEvent, type StationRow, withDb, writing } from "../log/db.ts";
import { acknowledge, ownAfter, ownBeyond } from "../log/own.ts";
import { type Answer, ask, isBlocking, type Refusal, type Stop } from "./client.ts";
import { pullEvents } from "./pull.ts";
import { renew } from "./renew.ts";

const MOST_EVENTS = 500;
/** Of the 262,144 bytes of F8.1, less the header line and a margin. */
const MOST_BYTES = 256_000;

type PushAnswer = { readonly epoch: string; readonly position: number; readonly seq: number };

/**
 * Send own events until the server holds all: first what it lacks of older chains (F4.4), then the present one.
 * Null when drained, else why not.
 */
export async function pushEvents(nowMs: () => number): Promise<Stop | null> {
  const run = new Run();
  for (;;) {
    const row = await getMeta<StationRow>("station");
    if (row === undefined) return null;
    const batch = fitting(await run.waiting(row), run.mostBytes);
    const first = batch[0];
    if (first === undefined) return null;
    const answer = await pushBatch(batch);
    if (answer.ok) await run.mark(row, first.incarnation, answer.value.seq);
    else {
      const stop = answer.problem === "offline" ? "offline" : await refused(run, row, batch, answer.problem, nowMs);
      if (stop !== null) return stop;
    }
  }
}

/** What one run of sending has learned. */
class Run {
  mostBytes = MOST_BYTES;
  renewed = false;
  readonly searched = new Set<string>();
  readonly #sent = new Map<string, number>();

  /** The next events to send, all of one chain. */
  async waiting(row: StationRow): Promise<readonly OwnEvent[]> {
    const older = await this.olderMissing(row);
    const chain = older[0]?.incarnation;
    if (chain === undefined) return ownAfter(row.incarnation, row.acked, MOST_EVENTS);
    return older.filter((e) => e.incarnation === chain).slice(0, MOST_EVENTS);
  }

  /** Own events of older chains that the server does not hold as far as is known. */
  olderMissing(row: StationRow): Promise<OwnEvent[]> {
    return olderBeyond(row.incarnation, (incarnation) => this.#sent.get(incarnation) ?? pulledSeq(incarnation));
  }

  /** The server holds a chain up to here. */
  async mark(row: StationRow, incarnation: string, seq: number): Promise<void> {
    if (incarnation === row.incarnation) await acknowledge(incarnation, seq);
    else this.#sent.set(incarnation, seq);
  }
}

/** How many own events the server does not hold as far as this station knows. */
export async function countUnsentEvents(): Promise<number> {
  const row = await getMeta<StationRow>("station");
  if (row === undefined) return 0;
  const older = await olderBeyond(row.incarnation, pulledSeq);
  return older.length + (await ownAfter(row.incarnation, row.acked)).length;
}

/** Own events of all chains but the present one that are above what is held of each. */
const olderBeyond = (present: string, held: (incarnation: string) => number): Promise<OwnEvent[]> =>
  withDb((db) => ownBeyond(db, (incarnation) => (incarnation === present ? NEVER : held(incarnation))));
const NEVER = Number.MAX_SAFE_INTEGER - 1;

/** Mend what can be mended by the station itself. Null when sending may go on, else why it stops. */
async function refused(
  run: Run,
  row: StationRow,
  batch: readonly OwnEvent[],
  problem: Refusal,
  nowMs: () => number,
): Promise<Stop | null> {
  const { incarnation, seq } = batch[0] as OwnEvent;
  switch (problem.slug) {
    case "body-too-large":
      // Whoever stands between takes less than the format allows.
      if (batch.length === 1) return problem;
      run.mostBytes = Math.floor(bytesOf(batch) / 2);
      return null;
    case "chain-gap": {
      const expected = Number(problem.extra?.expected_seq ?? seq);
      if (expected >= seq) return problem;
      await run.mark(row, incarnation, expected - 1);
      return null;
    }
    case "chain-fork": {
      const at = Number(problem.extra?.seq ?? seq);
      if (at === seq && seq > 1 && !run.searched.has(incarnation)) {
        // The chains part here or before: what was confirmed is offered too, and the server says where.
        run.searched.add(incarnation);
        await run.mark(row, incarnation, 0);
        return null;
      }
      await run.mark(row, incarnation, at - 1);
      break;
    }
    case "chain-mismatch":
      // A chain of another station begins with another hash: this browser may have become another station.
      if (!(await isAnother(row, batch))) return problem;
      break;
    case "incarnation-unknown":
      break;
    default:
      return problem;
  }
  // Only what the log really lacks is written again: written twice it would count twice.
  const behind = await pullEvents(nowMs);
  if (behind !== null) return behind;
  const isUnknown = problem.slug !== "chain-fork";
  if (isUnknown) await run.mark(row, incarnation, pulledSeq(incarnation));
  const older = await run.olderMissing(row);
  if (incarnation !== row.incarnation && !older.some((e) => e.incarnation === incarnation)) return null;
  if (run.renewed) return problem;
  run.renewed = true;
  return renew(isUnknown ? "restored" : "forked", nowMs(), older);
}

/** Whether these events are of another station than the one the server takes this browser for. */
async function isAnother(row: StationRow, batch: readonly OwnEvent[]): Promise<boolean> {
  const wrote = stationOf(batch[0] as OwnEvent);
  if (wrote !== row.station) return true;
  const server = await ask<{ readonly station: string } | null>("GET", "/api/station");
  return server.ok && server.value !== null && server.value.station !== wrote;
}

/** Who wrote an event: an older chain may be of the time when this browser was another station. */
const stationOf = (event: OwnEvent): string => (JSON.parse(event.text) as { readonly station: string }).station;

/** Send cards and documents written here. One that the server refuses does not hold up the others. */
export async function pushDocs(): Promise<Stop | null> {
  let told: Stop | null = null;
  for (const doc of await withDb((db) => db.docsOut.all())) {
    const answer = await ask<Doc>("PUT", `/api/docs/${doc.id}`, { kind: doc.kind, body: doc.body });
    const gone = !answer.ok && answer.problem !== "offline" && answer.problem.slug === "doc-erased";
    if (!answer.ok && !gone) {
      if (isBlocking(answer.problem)) return answer.problem;
      told ??= answer.problem;
      continue;
    }
    if (answer.ok && answer.value?.id !== doc.id) return "offline";
    await writing(["docsOut"], async (db) => {
      const still = await db.docsOut.get(doc.id);
      if (still !== undefined && JSON.stringify(still.body) === JSON.stringify(doc.body))
        await db.docsOut.delete(doc.id);
    });
  }
  return told;
}

async function pushBatch(batch: readonly OwnEvent[]): Promise<Answer<PushAnswer>> {
  const first = batch[0] as OwnEvent;
  const last = batch[batch.length - 1] as OwnEvent;
  const header = {
    incarnation: first.incarnation,
    first_seq: first.seq,
    prev: await hashBefore(first),
    head: last.hash,
  };
  const body = [JSON.stringify(header), ...batch.map((e) => e.text)].join("\n");
  const headers: Record<string, string> = { "Content-Type": "application/x-ndjson" };
  const packed = await gzip(body);
  if (packed !== null) headers["Content-Encoding"] = "gzip";
  const answer = await ask<PushAnswer | null>("POST", "/api/sync/push", packed ?? body, headers);
  if (!answer.ok) return answer;
  // An answer of something else than our server confirms nothing.
  const { value } = answer;
  return value === null || value.seq !== last.seq ? { ok: false, problem: "offline" } : { ok: true, value };
}

async function hashBefore(first: OwnEvent): Promise<string> {
  if (first.seq > 1) {
    const before = await withDb((db) => db.own.get([first.incarnation, first.seq - 1]));
    return (before as OwnEvent).hash;
  }
  return genesis(stationOf(first), first.incarnation);
}

/** As many as fit into one request; one at least. */
export function fitting(waiting: readonly OwnEvent[], mostBytes: number): readonly OwnEvent[] {
  let bytes = 0;
  const end = waiting.findIndex((e) => {
    bytes += sizeOf(e);
    return bytes > mostBytes;
  });
  return end === -1 ? waiting : waiting.slice(0, Math.max(1, end));
}

const bytesOf = (events: readonly OwnEvent[]): number => events.reduce((sum, e) => sum + sizeOf(e), 0);

/** Bytes in UTF-8 with the line feed. */
const sizeOf = (event: OwnEvent): number => UTF8.encode(event.text).length + 1;
const UTF8 = new TextEncoder();

async function gzip(text: string): Promise<Blob | null> {
  if (typeof CompressionStream === "undefined" || text.length < 1_000) return null;
  return new Response(new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"))).blob();
}
