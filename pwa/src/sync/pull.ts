/** Fetching what the shop knows and this station does not. */
import { type Cursor, forgetBase, keepSnapshot, load, takeDocs, takePulled } from "../current.ts";
import { type Doc, getMeta, putMeta, type StationRow, withDb } from "../log/db.ts";
import { acknowledge } from "../log/own.ts";
import { forgetPulled, keepChunk, readLines } from "../log/pulled.ts";
import { tellTabs } from "../log/tabs.ts";
import { ask, askText } from "./client.ts";
import type { Stop } from "./push.ts";
import { clockSkewMs } from "./status.ts";

const LIMIT = 1_000;
const SNAPSHOT_EVERY = 500;

type Header = {
  readonly epoch: string;
  readonly reset: boolean;
  readonly to: number;
  readonly last: number;
  readonly now_ms: number;
  readonly chain: { readonly incarnation: string; readonly seq: number } | null;
};

let sinceSnapshot = 0;

/** Pull events until none is left. Null when caught up, else why not. */
export async function pullEvents(nowMs: () => number): Promise<Stop | null> {
  for (;;) {
    const cursor = (await getMeta<Cursor>("cursor")) ?? { epoch: "", position: 0, rev: 0 };
    const answer = await askText("GET", `/api/sync/pull?epoch=${cursor.epoch}&after=${cursor.position}&limit=${LIMIT}`);
    if (!answer.ok) return answer.problem;
    const split = answer.value.indexOf("\n");
    const header = JSON.parse(split === -1 ? answer.value : answer.value.slice(0, split)) as Header;
    const lines = split === -1 ? "" : answer.value.slice(split + 1);
    clockSkewMs.value = nowMs() - header.now_ms;
    if (header.reset && cursor.epoch !== "") {
      await forgetPulled();
      forgetBase();
      await load();
    }
    await meetChain(header);
    const placed = readLines(lines);
    await keepChunk(lines, placed);
    takePulled(placed);
    await putMeta("cursor", { epoch: header.epoch, position: Math.max(header.to, 0), rev: header.reset ? 0 : cursor.rev } satisfies Cursor);
    if (placed.length > 0) tellTabs("pulled");
    sinceSnapshot += placed.length;
    if (header.to >= header.last) break;
  }
  if (sinceSnapshot >= SNAPSHOT_EVERY) {
    sinceSnapshot = 0;
    await keepSnapshot();
  }
  return null;
}

/** Pull changed cards and documents. A card that waits to be sent from here is not overwritten. */
export async function pullDocs(): Promise<Stop | null> {
  for (;;) {
    const cursor = await getMeta<Cursor>("cursor");
    if (cursor === undefined) return null;
    const answer = await ask<{ rev: number; docs: Doc[]; more: boolean }>("GET", `/api/docs?after=${cursor.rev}&limit=500`);
    if (!answer.ok) return answer.problem;
    const waiting = new Set(await withDb((db) => db.docsOut.toCollection().primaryKeys()));
    const changed = answer.value.docs.filter((d) => !waiting.has(d.id));
    await withDb((db) =>
      db.transaction("rw", db.docs, db.meta, async () => {
        await db.docs.bulkPut(answer.value.docs);
        const now = (await db.meta.get("cursor")) as Cursor;
        await db.meta.put({ ...now, rev: answer.value.rev }, "cursor");
      }),
    );
    takeDocs(changed);
    if (changed.length > 0) tellTabs("docs");
    if (!answer.value.more) return null;
  }
}

/** A restored server holds less of this chain than was acknowledged: offer it again (F4.4). */
async function meetChain(header: Header): Promise<void> {
  const row = await getMeta<StationRow>("station");
  if (row === undefined || header.chain?.incarnation !== row.incarnation) return;
  if (header.chain.seq < row.acked) await acknowledge(row.incarnation, header.chain.seq);
}
