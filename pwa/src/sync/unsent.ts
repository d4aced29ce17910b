/** What the server does not hold yet. */
import { pulledSeq } from "../current.ts";
import { getMeta, type OwnEvent, type StationRow, withDb } from "../log/db.ts";
import { ownAfter, ownBeyond } from "../log/own.ts";

/** How many own events the server, as far as this station knows, does not hold. */
export async function countUnsentEvents(): Promise<number> {
  const row = await getMeta<StationRow>("station");
  if (row === undefined) return 0;
  const older = await olderBeyond(row.incarnation, pulledSeq);
  return older.length + (await ownAfter(row.incarnation, row.acked)).length;
}

/** Own events of all chains but the present one that are above what is held of each. */
export const olderBeyond = (present: string, held: (incarnation: string) => number): Promise<OwnEvent[]> =>
  withDb((db) => ownBeyond(db, (incarnation) => (incarnation === present ? NEVER : held(incarnation))));
const NEVER = Number.MAX_SAFE_INTEGER;
