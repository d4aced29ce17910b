/** Giving up what was put away, so that what this station keeps does not grow with the shop's years. */
import { codesOf } from "../events/about.ts";
import { isEvent } from "../events/envelope.ts";
import { allCards } from "./cards.ts";
import { type Chunk, type Doc, writing } from "./db.ts";
import { type Placed, packed, readLines } from "./pulled.ts";

/** Lines that name nothing but trays, or nothing at all, are kept while they are among so many of the newest. */
const NEWEST = 2_000;

/**
 * Drop the lines that are about nothing live any more, from the chunks that name these codes and from the oldest one:
 * so each chunk has its turn, also after a page that was closed in between. What the server set aside is kept.
 */
export const giveUpLines = (
  codes: ReadonlySet<string>,
  isLive: (code: string) => boolean,
  position: number,
): Promise<void> =>
  writing(["chunks", "meta"], async (db) => {
    const found = new Map<number, Chunk>();
    for (const oldest of await db.chunks.all(undefined, 1)) found.set(oldest.first, oldest);
    for (const code of codes) for (const chunk of await db.chunks.where("codes", code)) found.set(chunk.first, chunk);
    const isKept = ({ event, position: at }: Placed): boolean => {
      if (!isEvent(event)) return true;
      const named = codesOf(event).filter((code) => !code.startsWith("T"));
      return named.length === 0 ? at > position - NEWEST : named.some(isLive);
    };
    for (const chunk of found.values()) {
      const placed = readLines(chunk.lines);
      const kept = new Set(placed.filter(isKept).map((p) => p.position));
      if (kept.size === placed.length) continue;
      await db.chunks.delete(chunk.first);
      const lines = chunk.lines.split("\n").filter((line) => kept.has(Number(line.slice(0, line.indexOf("\t")))));
      if (lines.length > 0) await db.chunks.put(packed(readLines(lines.join("\n")), lines.join("\n")));
    }
  });

/** So many cards that nothing live needs are kept while no good backup has them; the oldest go first. */
const MOST_UNSAVED = 1_000;

/** Drop the cards that nothing live needs and a good backup has, and say which. Those that wait to be sent stay. */
export const giveUpCards = (isNeeded: (card: Doc) => boolean): Promise<readonly string[]> =>
  writing(["docs", "docsOut", "meta"], async (db) => {
    const savedTo = (await db.meta.read<number>("backed_up_rev")) ?? 0;
    const waiting = new Set(await db.docsOut.keys());
    const free = (await allCards(db)).filter((card) => !isNeeded(card) && !waiting.has(card.id));
    const unsaved = free.filter((card) => card.body !== null && card.rev > savedTo).sort((a, b) => b.rev - a.rev);
    const kept = new Set(unsaved.slice(0, MOST_UNSAVED));
    const gone = free.filter((card) => !kept.has(card)).map((card) => card.id);
    await db.docs.deleteMany(gone);
    return gone;
  });
