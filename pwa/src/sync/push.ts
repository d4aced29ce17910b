/** Sending what only this station has: cards, events, photos. Each part drains by itself and can be repeated freely. */
import { genesis } from "../events/chain.ts";
import { type Doc, type KeptPhoto, type OwnEvent, type StationRow, withDb } from "../log/db.ts";
import { acknowledge, beginAgain, ownAfter } from "../log/own.ts";
import { type Answer, ask, type Refusal } from "./client.ts";

const MOST_EVENTS = 500;
const MOST_BYTES = 240_000;

export type Stop = Refusal | "offline";
type PushAnswer = { readonly epoch: string; readonly position: number; readonly seq: number };

/** Send own events until the server holds all. Null when drained, else why not. */
export async function pushEvents(read: () => Promise<StationRow | undefined>, nowMs: () => number): Promise<Stop | null> {
  for (;;) {
    const row = await read();
    if (row === undefined) return null;
    const waiting = await ownAfter(row.incarnation, row.acked, MOST_EVENTS);
    if (waiting.length === 0) return null;
    const batch = fitting(waiting);
    const answer = await pushBatch(row, batch);
    if (answer.ok) {
      await acknowledge(row.incarnation, answer.value.seq);
      continue;
    }
    if (answer.problem === "offline") return "offline";
    const problem = answer.problem;
    if (problem.slug === "chain-gap") {
      const expected = Number(problem.extra?.expected_seq ?? 1);
      if (expected - 1 >= row.acked) return problem;
      await acknowledge(row.incarnation, expected - 1);
    } else if (problem.slug === "chain-fork") {
      const fresh = await ask<{ incarnation: string }>("POST", "/api/station/incarnation", { reason: "forked" });
      if (!fresh.ok) return fresh.problem;
      await beginAgain({ incarnation: fresh.value.incarnation }, "forked", nowMs());
    } else {
      return problem;
    }
  }
}

/** Send cards and documents written here. */
export async function pushDocs(): Promise<Stop | null> {
  for (const doc of await withDb((db) => db.docsOut.toArray())) {
    const answer = await ask<Doc>("PUT", `/api/docs/${doc.id}`, { kind: doc.kind, body: doc.body });
    const gone = !answer.ok && answer.problem !== "offline" && answer.problem.slug === "doc-erased";
    if (!answer.ok && !gone) return answer.problem;
    await withDb((db) =>
      db.transaction("rw", db.docsOut, async () => {
        const still = await db.docsOut.get(doc.id);
        if (still !== undefined && JSON.stringify(still.body) === JSON.stringify(doc.body)) await db.docsOut.delete(doc.id);
      }),
    );
  }
  return null;
}

/** Send photos, after the events that name them. The local copy goes only once the server has confirmed it (F8.5). */
export async function pushPhotos(): Promise<Stop | null> {
  for (const sha256 of await withDb((db) => db.photos.toCollection().primaryKeys())) {
    const photo = await withDb((db) => db.photos.get(sha256));
    if (photo === undefined) continue;
    const answer = await putPhoto(photo);
    if (!answer.ok) return answer.problem;
    await withDb((db) => db.photos.delete(sha256));
  }
  return null;
}

function putPhoto(photo: KeptPhoto): Promise<Answer<unknown>> {
  return ask("PUT", `/api/blobs/${photo.sha256}`, new Blob([photo.bytes], { type: photo.type }), { "Content-Type": photo.type });
}

async function pushBatch(row: StationRow, batch: readonly OwnEvent[]): Promise<Answer<PushAnswer>> {
  const first = batch[0] as OwnEvent;
  const last = batch[batch.length - 1] as OwnEvent;
  const header = {
    incarnation: row.incarnation,
    first_seq: first.seq,
    prev: await hashBefore(row, first.seq),
    head: last.hash,
  };
  const body = [JSON.stringify(header), ...batch.map((e) => e.text)].join("\n");
  const headers: Record<string, string> = { "Content-Type": "application/x-ndjson" };
  const packed = await gzip(body);
  if (packed !== null) headers["Content-Encoding"] = "gzip";
  return ask<PushAnswer>("POST", "/api/sync/push", packed ?? body, headers);
}

async function hashBefore(row: StationRow, seq: number): Promise<string> {
  if (seq === 1) return genesis(row.station, row.incarnation);
  const before = await withDb((db) => db.own.get([row.incarnation, seq - 1]));
  return (before as OwnEvent).hash;
}

function fitting(waiting: readonly OwnEvent[]): readonly OwnEvent[] {
  let bytes = 0;
  const end = waiting.findIndex((e) => {
    bytes += 3 * e.text.length;
    return bytes > 3 * MOST_BYTES;
  });
  return end === -1 ? waiting : waiting.slice(0, Math.max(1, end));
}

async function gzip(text: string): Promise<Blob | null> {
  if (typeof CompressionStream === "undefined" || text.length < 1_000) return null;
  return new Response(new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"))).blob();
}
