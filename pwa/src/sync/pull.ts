/** Fetching what happened in the shop and this station does not know. */
import { areKept, basePosition, liveState, load, loseDocs, notKept, pulledSeq, takePulled } from "../current.ts";
import { aboutOf } from "../log/cards.ts";
import { getMeta, type StationRow, writing } from "../log/db.ts";
import { forgetOwn } from "../log/forgetOwn.ts";
import { type ErasedKnown, forgetPulled } from "../log/forgetPulled.ts";
import { giveUpCards, giveUpLines } from "../log/giveUp.ts";
import { keepLive, readLive } from "../log/live.ts";
import { acknowledge } from "../log/own.ts";
import { type Cursor, keepChunk, mergeChunks, readLines } from "../log/pulled.ts";
import { areOfThisFold, type Unkept } from "../log/records.ts";
import { dropBackedUp, sendPhotosAgain } from "../log/sentPhotos.ts";
import { tellTabs } from "../log/tabs.ts";
import { ask, askText, type Halt } from "./client.ts";
import { cardsOf } from "./pullDocs.ts";
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
  readonly head: string;
  readonly now_ms: number;
  readonly backed_up_ms: number | null;
};

/** The live state of a large shop takes a slow network longer than other answers. */
const LIVE_WITHIN_MS = 300_000;
/** In one pull: at the start, and again when another epoch turns out to be there. */
const MOST_BEGINNINGS = 2;
const LOST: Halt = { slug: "internal", detail: "What the server's log says does not follow on what it said before." };
let sinceKept = 0;
let sinceMerged = 0;

/** Pull events until none is left. Null when caught up, else why not. */
export async function pullEvents(nowMs: () => number): Promise<Halt | null> {
  const putAway = new Set<string>();
  let begun = 0;
  let ahead: { readonly cursor: Cursor; readonly answer: ReturnType<typeof askAfter> } | undefined;
  for (;;) {
    const cursor = await getMeta<Cursor>("cursor");
    if (cursor === undefined || cursor.position !== basePosition() || !(await areOfThisFold())) {
      begun += 1;
      const halt = begun > MOST_BEGINNINGS ? LOST : await begin(nowMs);
      if (halt !== null) return halt;
      continue;
    }
    const answer = await (ahead !== undefined && isSame(ahead.cursor, cursor) ? ahead.answer : askAfter(cursor));
    if (!answer.ok) return answer.problem;
    const [first, lines] = cut(answer.value);
    const header = readHeader(first);
    if (header === null) return "offline";
    clockSkewMs.value = nowMs() - header.now_ms;
    if (header.reset) {
      await forget();
      continue;
    }
    const next = { epoch: header.epoch, position: header.to, head: header.head };
    const isEnd = header.to >= header.last;
    // What follows is on its way while this is folded and kept.
    ahead = isEnd ? undefined : { cursor: next, answer: askAfter(next) };
    const placed = readLines(lines);
    if (!takePulled(placed)) return LOST;
    sinceKept += placed.length;
    const unkept = isEnd || sinceKept >= KEEP_EVERY ? notKept() : null;
    if (!(await keepChunk(lines, placed, next, unkept, cursor))) {
      await load();
      continue;
    }
    if (unkept !== null) {
      for (const code of goneFrom(unkept)) putAway.add(code);
      areKept(unkept);
      sinceKept = 0;
    }
    if (placed.length > 0) {
      tellTabs("pulled");
      sinceMerged += 1;
    }
    if (header.backed_up_ms !== null) await meetBackup(header.backed_up_ms);
    if (isEnd) break;
  }
  if (putAway.size > 0 || sinceMerged >= MERGE_EVERY) await giveUp(putAway);
  if (sinceMerged >= MERGE_EVERY) {
    sinceMerged = 0;
    await mergeChunks();
  }
  return meetChain(nowMs);
}

function askAfter({ epoch, position, head }: Cursor): ReturnType<typeof askText> {
  const query = new URLSearchParams({ epoch, after: String(position), head, limit: String(LIMIT) });
  return askText("GET", `/api/sync/pull?${query}`);
}

const isSame = (a: Cursor, b: Cursor): boolean => a.epoch === b.epoch && a.position === b.position && a.head === b.head;

/** A good backup was made since this station last heard of one: what it has need not be kept here any more. */
async function meetBackup(backed_up_ms: number): Promise<void> {
  if ((await getMeta<number>("backed_up_ms")) === backed_up_ms) return;
  const answer = await ask<Partial<BackedUp> | null>("GET", "/api/station");
  if (!answer.ok || answer.value?.backed_up === undefined) return;
  const { backed_up, backed_up_rev = 0 } = answer.value;
  await dropBackedUp(backed_up_ms);
  await writing(["own", "meta"], async (db) => {
    const row = await db.meta.read<StationRow>("station");
    const confirmed = (incarnation: string) => (incarnation === row?.incarnation ? row.acked : pulledSeq(incarnation));
    await forgetOwn(db, (incarnation) => Math.min(backed_up[incarnation] ?? 0, confirmed(incarnation)));
    await db.meta.write("backed_up_ms", backed_up_ms);
    await db.meta.write("backed_up_rev", backed_up_rev);
    const erased = Object.entries((await db.meta.read<ErasedKnown>("erased_known")) ?? {});
    await db.meta.write("erased_known", Object.fromEntries(erased.filter(([, [, rev]]) => rev > backed_up_rev)));
  });
  await giveUpFreeCards();
}
/** How far the last good backup has this station's chains, and cards and documents. */
type BackedUp = { readonly backed_up: Readonly<Record<string, number>>; readonly backed_up_rev: number };

/** Begin with the live state (F8.7): a station that has nothing yet, whose log was forgotten, or whose records are of another fold. */
async function begin(nowMs: () => number): Promise<Halt | null> {
  const answer = await askText("GET", "/api/live", LIVE_WITHIN_MS);
  if (!answer.ok) return answer.problem;
  const live = await readLive(answer.value);
  if (live === null) return { slug: "live-state-unsound" };
  clockSkewMs.value = nowMs() - live.now_ms;
  await keepLive(live, nowMs());
  await load();
  tellTabs("pulled");
  return basePosition() === live.position ? null : { slug: "storage-failed" };
}

/** Codes of records that were put away since records were kept last. */
const goneFrom = ({ state, changed }: Unkept): readonly string[] =>
  changed.filter(([collection, key]) => !state[collection].has(key)).map(([, key]) => key);

/** Give up what was put away: this station need not hold it any more. */
async function giveUp(codes: ReadonlySet<string>): Promise<void> {
  await giveUpLines(codes, isLive, basePosition());
  if (codes.size > 0) await giveUpFreeCards();
}

/** Give up the cards that nothing live needs and a good backup has. */
async function giveUpFreeCards(): Promise<void> {
  const named = new Set(cardsOf(liveState().job.values()));
  loseDocs(await giveUpCards((card) => (card.kind === "text" ? isLive(aboutOf(card) ?? "") : named.has(card.id))));
}

function isLive(code: string): boolean {
  const { job, thing, box } = liveState();
  return job.has(code) || thing.has(code) || box.has(code);
}

/** Start over, and show what comes. */
async function forget(): Promise<void> {
  await sendPhotosAgain();
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
    const texts = [header?.epoch, header?.head];
    const isOurs = texts.every((t) => typeof t === "string") && numbers.every(Number.isInteger);
    return isOurs ? (header as Header) : null;
  } catch {
    return null;
  }
}
