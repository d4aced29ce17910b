/** Sending own events, in batches. Harmless to repeat; mend.ts deals with what the server refuses. */
import { pulledSeq } from "../current.ts";
import { genesis } from "../events/chain.ts";
import { getMeta, type OwnEvent, type StationRow, withDb } from "../log/db.ts";
import { acknowledge, ownAfter } from "../log/own.ts";
import { type Answer, ask, type Refusal } from "./client.ts";
import { olderBeyond } from "./unsent.ts";

const MOST_EVENTS = 500;
/** The 262,144 bytes of F8.1, less the header line and a margin. */
const MOST_BYTES = 256_000;

type PushAnswer = { readonly epoch: string; readonly position: number; readonly seq: number };
/** Events of one chain, one after another. */
type Batch = readonly [OwnEvent, ...OwnEvent[]];
/** What was sent, and the server's answer. */
export type Refused = { readonly row: StationRow; readonly batch: Batch; readonly problem: Refusal };

/**
 * Send own events until the server holds all: first what it lacks of older chains (F4.4), then the present one.
 * Null when nothing is left.
 */
export async function pushEvents(run: Run): Promise<Refused | "offline" | null> {
  for (;;) {
    const row = await getMeta<StationRow>("station");
    if (row === undefined) return null;
    const batch = fitting(await run.waiting(row), run.mostBytes);
    if (!isBatch(batch)) return null;
    const answer = await pushBatch(batch);
    if (answer.ok) await run.mark(row, batch[0].incarnation, answer.value.seq);
    else return answer.problem === "offline" ? "offline" : { row, batch, problem: answer.problem };
  }
}

/** What one run of sending has learned. */
export class Run {
  mostBytes = MOST_BYTES;
  renewed = false;
  /** Chains that were already searched for the event at which they differ. */
  readonly searched = new Set<string>();
  readonly #sent = new Map<string, number>();

  /** The next events to send, all of one chain. */
  async waiting(row: StationRow): Promise<readonly OwnEvent[]> {
    const older = await this.olderMissing(row);
    const chain = older[0]?.incarnation;
    if (chain === undefined) return ownAfter(row.incarnation, row.acked, MOST_EVENTS);
    return older.filter((e) => e.incarnation === chain).slice(0, MOST_EVENTS);
  }

  /** Own events of older chains that the server, as far as is known, does not hold. */
  olderMissing(row: StationRow): Promise<OwnEvent[]> {
    return olderBeyond(row.incarnation, (incarnation) => this.#sent.get(incarnation) ?? pulledSeq(incarnation));
  }

  /** The server holds a chain up to here. */
  async mark(row: StationRow, incarnation: string, seq: number): Promise<void> {
    if (incarnation === row.incarnation) await acknowledge(incarnation, seq);
    else this.#sent.set(incarnation, seq);
  }
}

async function pushBatch(batch: Batch): Promise<Answer<PushAnswer>> {
  const [first] = batch;
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
  // An answer from anything but our server confirms nothing.
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

/** The station that wrote an event: an older chain may be from when this browser was another station. */
export const stationOf = (event: OwnEvent): string => (JSON.parse(event.text) as { readonly station: string }).station;

/** As many as fit into one request; one at least. */
export function fitting(waiting: readonly OwnEvent[], mostBytes: number): readonly OwnEvent[] {
  let bytes = 0;
  const end = waiting.findIndex((e) => {
    bytes += sizeOf(e);
    return bytes > mostBytes;
  });
  return end === -1 ? waiting : waiting.slice(0, Math.max(1, end));
}

const isBatch = (events: readonly OwnEvent[]): events is Batch => events.length > 0;

export const bytesOf = (events: readonly OwnEvent[]): number => events.reduce((sum, e) => sum + sizeOf(e), 0);

/** Bytes in UTF-8 with the line feed. */
const sizeOf = (event: OwnEvent): number => UTF8.encode(event.text).length + 1;
const UTF8 = new TextEncoder();

async function gzip(text: string): Promise<Blob | null> {
  if (typeof CompressionStream === "undefined" || text.length < 1_000) return null;
  return new Response(new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"))).blob();
}
