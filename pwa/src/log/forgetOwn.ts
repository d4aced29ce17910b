/** Own events that are safe elsewhere need not be kept for good. */
import type { Stores } from "./db.ts";
import { chainNames } from "./own.ts";

/**
 * Forget own events up to a seq of each chain. Of the last one the hash stays, since what follows is linked to it.
 */
export async function forgetOwn(db: Pick<Stores, "own">, upTo: (incarnation: string) => number): Promise<void> {
  for (const incarnation of await chainNames(db)) {
    const end = upTo(incarnation);
    const range = IDBKeyRange.bound([incarnation, 0], [incarnation, end]);
    const last = (await db.own.last(range)) ?? null;
    if (last === null) continue;
    await db.own.deleteRange(range);
    await db.own.put({ ...last, text: "" });
  }
}
