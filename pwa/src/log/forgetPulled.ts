/** What a station does when the log that it pulled is not the server's any more. */
import { allCards } from "./cards.ts";
import { writing } from "./db.ts";
import { PULLED_TO } from "./pulled.ts";

/**
 * Forget the pulled log: the server has another epoch (F4.4). Own events stay. What this station knew of cards is written
 * down, so that it can offer those that the server turns out to lack.
 */
export const forgetPulled = (): Promise<void> =>
  writing(["chunks", "records", "docs", "meta"], async (db) => {
    const known = await db.meta.read<Record<string, number>>("cards_known");
    const cards = await allCards(db);
    await db.chunks.clear();
    await db.records.clear();
    await db.meta.deleteMany(PULLED_TO);
    await db.meta.write("times_forgotten", ((await db.meta.read<number>("times_forgotten")) ?? 0) + 1);
    await db.meta.write("cards_known", { ...known, ...Object.fromEntries(cards.map((c) => [c.id, c.rev])) });
  });
