/** The shop's log as this station has pulled it, packed in chunks. */
import { codesOf } from "../events/about.ts";
import { type Event, isEvent, parse, type Rejected } from "../events/envelope.ts";
import type { Entry } from "../fold/fold.ts";
import type { Slug } from "../tables.ts";
import { type Chunk, reading, type Stores, withDb, writing } from "./db.ts";
import { type Unkept, writeRecords } from "./records.ts";

/**
 * How far the shop's log has been pulled (F4.4). `docs_rev` in `meta` says the same of cards and documents (F7.2), and
 * `docs_begun` up to which revision this station need not hear what was erased (F8.4).
 */
export type Cursor = {
  readonly epoch: string;
  readonly position: number;
  /** The hash of the event there, as the server told it: another one there means that its log is an older copy. */
  readonly head: string;
};

/** What `meta` says of all that is pulled. Revisions and positions of another epoch mean something else. */
export const PULLED_TO = ["cursor", "docs_rev", "docs_run", "docs_begun", "folded", "merged"];
/** And how far the cards and documents. */
export const DOCS_TO = ["docs_rev", "docs_run", "docs_begun"];

export type Placed = { readonly position: number; readonly event: Event | Rejected; readonly entry: Entry };

/** Lines of a pull (F8.2) as entries with their position. What the server flagged as malformed stays so here. */
export function readLines(lines: string): readonly Placed[] {
  const placed: Placed[] = [];
  for (const line of lines.split("\n")) {
    if (line === "") continue;
    const first = line.indexOf("\t");
    const second = line.indexOf("\t", first + 1);
    const position = Number(line.slice(0, first));
    const flag = line.slice(first + 1, second);
    const text = line.slice(second + 1);
    const [slug, place] = flag.split("@");
    const event: Event | Rejected = flag === "-" ? parse(text) : { slug: slug as Slug, pointer: "" };
    const [incarnation, seq] = isEvent(event) ? [event.incarnation, event.seq] : chainPlace(place);
    placed.push({ position, event, entry: { incarnation, seq, event } });
  }
  return placed;
}

/** A malformed event's own seq cannot be trusted, so the server's flag names it: `slug@7K2.41`. */
function chainPlace(place: string | undefined): readonly [string, number] {
  const [incarnation, seq] = (place ?? "").split(".");
  return [incarnation ?? "", Number(seq ?? 0)];
}

/**
 * Keep pulled lines together with how far the log has been pulled, and with the records they make. Durable on return.
 * False, and nothing is kept, when the log was forgotten since `after`: another tab did, and this would bring part of it back.
 */
export async function keepChunk(
  lines: string,
  placed: readonly Placed[],
  cursor: Cursor,
  unkept: Unkept | null,
  after: Cursor | null = null,
): Promise<boolean> {
  return writing(["chunks", "records", "meta"], async (db) => {
    const now = await db.meta.read<Cursor>("cursor");
    if (after !== null && (now?.epoch !== after.epoch || now.position !== after.position)) return false;
    if (placed.length > 0) await db.chunks.put(packed(placed, lines));
    if (unkept !== null) await writeRecords(db, unkept);
    await db.meta.write("cursor", cursor);
    return true;
  });
}

/** Lines, of which there is at least one, as a chunk. */
export function packed(placed: readonly Placed[], lines: string): Chunk {
  const codes = new Set<string>();
  for (const { event } of placed) if (isEvent(event)) for (const code of codesOf(event)) codes.add(code);
  const [first, last] = [placed[0] as Placed, placed.at(-1) as Placed];
  return { first: first.position, last: last.position, lines, codes: [...codes] };
}

/**
 * Make few chunks of many small ones: each pull leaves one, and most pulls bring a few events. Those that are merged
 * already are not read again.
 */
export const mergeChunks = (): Promise<void> =>
  writing(["chunks", "meta"], async (db) => {
    const merged = (await db.meta.read<number>("merged")) ?? 0;
    const rows = await db.chunks.all(IDBKeyRange.lowerBound(merged));
    const groups: Chunk[][] = [];
    for (const row of rows) {
      const group = groups.at(-1);
      const fits = group !== undefined && lettersOf([...group, row]) <= MOST_LETTERS;
      if (fits) group.push(row);
      else groups.push([row]);
    }
    for (const group of groups.filter((g) => g.length > 1)) {
      await db.chunks.deleteMany(group.map((row) => row.first));
      await db.chunks.put(oneOf(group));
    }
    const open = groups.at(-1)?.[0];
    if (open !== undefined) await db.meta.write("merged", open.first);
  });
/** Of a chunk: about a thousand events. */
export const MOST_LETTERS = 250_000;

const lettersOf = (chunks: readonly Chunk[]): number => chunks.reduce((sum, c) => sum + c.lines.length, 0);

const oneOf = (group: readonly Chunk[]): Chunk => ({
  first: (group[0] as Chunk).first,
  last: (group.at(-1) as Chunk).last,
  lines: group.map((c) => c.lines.trimEnd()).join("\n"),
  codes: [...new Set(group.flatMap((c) => c.codes))],
});

/** Chunks that hold anything after a position, in order. */
export const chunksAfter = (position: number): Promise<Chunk[]> => withDb((db) => readChunks(db, position));

/** The same inside an open transaction. */
export async function readChunks(db: Pick<Stores, "chunks">, position: number): Promise<Chunk[]> {
  const holding = await db.chunks.last(IDBKeyRange.upperBound(position));
  const after = await db.chunks.all(IDBKeyRange.lowerBound(position, true));
  return holding !== undefined && holding.last > position ? [holding, ...after] : after;
}

/** Events of the pulled log that are about a code, in order: its trace. */
export async function pulledAbout(code: string): Promise<readonly Placed[]> {
  const chunks = await withDb((db) => db.chunks.where("codes", code));
  return chunks.flatMap((c) => readLines(c.lines)).filter((p) => isEvent(p.event) && codesOf(p.event).includes(code));
}

/**
 * Throw away the pulled log, read or not: it is pulled again. Cards and documents are kept while they can be read, so that
 * people can sign on without a network. What this station has not sent stays.
 */
export async function dropPulled(): Promise<void> {
  const areReadable = await reading(["docs"], (db) => db.docs.all()).then(
    () => true,
    () => false,
  );
  await writing(["chunks", "records", "docs", "meta"], async (db) => {
    await Promise.all([db.chunks.clear(), db.records.clear()]);
    if (!areReadable) await db.docs.clear();
    await db.meta.deleteMany(PULLED_TO);
  });
}
