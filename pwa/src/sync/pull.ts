/** Fetching what the shop knows and this station does not. */
import { areKept, load, notKept, pulledSeq, takeDocs, takePulled } from "../current.ts";
import { type Doc, getMeta, type StationRow, writing } from "../log/db.ts";
import { acknowledge } from "../log/own.ts";
import { type Cursor, forgetPulled, keepChunk, mergeChunks, readLines } from "../log/pulled.ts";
import { tellTabs } from "../log/tabs.ts";
import { ask, askText, type Halt } from "./client.ts";
import { renew } from "./renew.ts";
import { clockSkewMs } from "./status.ts";

const LIMIT = 1_000;
/** While much is being pulled, records are kept this often: most change again at once, and a start folds the rest. */
const KEEP_EVERY = 5_000;
/** So many pulls leave so many small chunks. */
const MERGE_EVERY = 50;

type Header = {
  readonly epoch: string;
  readonly reset: boolean;
  readonly to: number;
  readonly last: number;
  readonly now_ms: number;
};

const NO_CURSOR: Cursor = { epoch: "", position: 0 };
let sinceKept = 0;
let sinceMerged = 0;

/** Pull events until none is left. Null when caught up, else why not. */
export async function pullEvents(nowMs: () => number): Promise<Halt | null> {
  let begunAnew = 0;
  for (;;) {
    const cursor = (await getMeta<Cursor>("cursor")) ?? NO_CURSOR;
    const answer = await askText("GET", `/api/sync/pull?epoch=${cursor.epoch}&after=${cursor.position}&limit=${LIMIT}`);
    if (!answer.ok) return answer.problem;
    const [first, lines] = cut(answer.value);
    const header = readHeader(first);
    if (header === null) return "offline";
    clockSkewMs.value = nowMs() - header.now_ms;
    if (header.reset && cursor.epoch !== "") await forget();
    const placed = readLines(lines);
    if (!takePulled(placed)) {
      begunAnew += 1;
      if (begunAnew > 1) return { slug: "internal", detail: "The server's log has gaps." };
      await forget();
      continue;
    }
    sinceKept += placed.length;
    const isEnd = header.to >= header.last;
    const unkept = isEnd || sinceKept >= KEEP_EVERY ? notKept() : null;
    await keepChunk(lines, placed, { epoch: header.epoch, position: header.to }, unkept);
    if (unkept !== null) {
      areKept(unkept);
      sinceKept = 0;
    }
    if (placed.length > 0) {
      tellTabs("pulled");
      sinceMerged += 1;
    }
    if (isEnd) break;
  }
  if (sinceMerged >= MERGE_EVERY) {
    sinceMerged = 0;
    await mergeChunks();
  }
  return meetChain(nowMs);
}

/**
 * Pull changed cards and documents. A card that waits to be sent from here is not overwritten. After the log was
 * forgotten, a card that the server lacks or holds at an older revision is offered again, as events are (F4.4).
 */
export async function pullDocs(): Promise<Halt | null> {
  for (;;) {
    const after = (await getMeta<number>("docs_rev")) ?? 0;
    const answer = await ask<{ rev: number; docs: Doc[]; more: boolean } | null>(
      "GET",
      `/api/docs?after=${after}&limit=500`,
    );
    if (!answer.ok) return answer.problem;
    if (answer.value === null) return "offline";
    const { rev, docs, more } = answer.value;
    const changed = await writing(["docs", "docsOut", "meta"], async (db) => {
      const known = await db.meta.read<Record<string, number>>("cards_known");
      if (known !== undefined) {
        const met = new Map(docs.map((d) => [d.id, d]));
        const left: Record<string, number> = {};
        for (const [id, knownRev] of Object.entries(known)) {
          const theirs = met.get(id);
          if (theirs === undefined && more) left[id] = knownRev;
          else if (theirs === undefined || theirs.rev < knownRev) {
            const ours = await db.docs.get(id);
            if (ours !== undefined && (await db.docsOut.get(id)) === undefined)
              await db.docsOut.put({ ...ours, rev: 0 });
          }
        }
        if (more) await db.meta.write("cards_known", left);
        else await db.meta.delete("cards_known");
      }
      await db.docs.putMany(docs);
      await db.meta.write("docs_rev", rev);
      const waiting = new Set(await db.docsOut.keys());
      return docs.filter((d) => !waiting.has(d.id));
    });
    takeDocs(changed);
    if (changed.length > 0) tellTabs("docs");
    if (!more) return null;
  }
}

/** Start over at position 0, and show what comes. */
async function forget(): Promise<void> {
  await forgetPulled();
  await load();
}

/** Compare the present chain with the whole log just pulled. */
async function meetChain(nowMs: () => number): Promise<Halt | null> {
  const row = await getMeta<StationRow>("station");
  if (row === undefined) return null;
  const held = pulledSeq(row.incarnation);
  // The log lacks confirmed events: the server was restored, and gets them again (F4.4).
  if (held < row.acked) await acknowledge(row.incarnation, held);
  // The log knows more of this chain than the station: its storage was restored. What it has not sent yet is sent first.
  if (held > row.seq && row.acked === row.seq) return renew("restored", nowMs());
  return null;
}

function cut(text: string): readonly [string, string] {
  const end = text.indexOf("\n");
  return end === -1 ? [text, ""] : [text.slice(0, end), text.slice(end + 1)];
}

/** Null when this is not our server's answer: some networks answer in its place. */
function readHeader(line: string): Header | null {
  try {
    const header = JSON.parse(line) as Partial<Header> | null;
    const numbers = [header?.to, header?.last, header?.now_ms];
    return typeof header?.epoch === "string" && numbers.every(Number.isInteger) ? (header as Header) : null;
  } catch {
    return null;
  }
}
