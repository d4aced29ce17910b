/** A station that the shop has taken out forgets the shop. */
import { type StationRow, withDb, writing } from "./db.ts";
import { forgetOwn } from "./forgetOwn.ts";

/**
 * Forget everything but what the server has not got: entries, cards and photos that wait to be sent. `held` is how far it
 * has older chains. False when there was nothing left to forget.
 */
export async function wipe(held: (incarnation: string) => number): Promise<boolean> {
  const isThere = await withDb(
    async (db) => (await db.meta.get("cursor")) !== undefined || (await db.docs.count()) > 0,
  );
  if (!isThere) return false;
  await writing(STORES, async (db) => {
    const row = await db.meta.read<StationRow>("station");
    const upTo = (incarnation: string): number => (incarnation === row?.incarnation ? row.acked : held(incarnation));
    await forgetOwn(db, upTo);
    await Promise.all([db.chunks, db.records, db.docs, db.photosSent, db.drafts, db.toPrint].map((s) => s.clear()));
    const times = (await db.meta.read<number>("times_forgotten")) ?? 0;
    await db.meta.clear();
    if (row !== undefined) await db.meta.write("station", row);
    await db.meta.write("times_forgotten", times + 1);
  });
  return true;
}

const STORES = ["own", "chunks", "records", "docs", "photosSent", "drafts", "toPrint", "meta"] as const;
