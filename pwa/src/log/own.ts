/** The station's own log (F3): its row, and the events that it holds. They are written by append.ts. */
import { genesis } from "../events/chain.ts";
import { isEvent, parse } from "../events/envelope.ts";
import { type OwnEvent, type StationRow, type Stores, withDb, writing } from "./db.ts";
import { alone } from "./tabs.ts";

export type Identity = Pick<StationRow, "station" | "name" | "role" | "shop" | "incarnation">;

/** The row of a station that has written nothing yet in this incarnation. */
export async function firstRow(who: Identity): Promise<StationRow> {
  const { station, name, role, shop, incarnation } = who;
  return {
    station,
    name,
    role,
    shop,
    incarnation,
    seq: 0,
    head: await genesis(station, incarnation),
    acked: 0,
    counter: 0,
  };
}

/** Own events of the present chain after a seq, in order, as far as they are here: none of them is void. */
export const ownAfter = async (incarnation: string, seq: number, most?: number): Promise<OwnEvent[]> =>
  (await withDb((db) => db.own.all(afterSeq(incarnation, seq), most))).filter(isHere);

/** Whether an event is here with its bytes, and not only with its hash. */
const isHere = (own: OwnEvent): boolean => own.text !== "";

/** Own events that are not void and above what somebody holds of each chain: older chains first, then by seq (F4.2). */
export async function ownBeyond(
  db: Pick<Stores, "own" | "meta">,
  held: (incarnation: string) => number,
): Promise<OwnEvent[]> {
  const rows: OwnEvent[] = [];
  for (const incarnation of await ownChains(db)) {
    const after = await db.own.all(afterSeq(incarnation, held(incarnation)));
    rows.push(...after.filter((row) => row.void === 0 && isHere(row)));
  }
  return rows;
}

/** The chains of this station, oldest first: each names the one before it in its first event (F3.1). */
async function ownChains(db: Pick<Stores, "own" | "meta">): Promise<readonly string[]> {
  const left = await chainNames(db);
  const row = await db.meta.read<StationRow>("station");
  const chains: string[] = [];
  let at = row?.incarnation;
  while (at !== undefined && left.delete(at)) {
    chains.unshift(at);
    const began = await db.own.get([at, 1]);
    const event = began === undefined ? null : parse(began.text);
    at = event !== null && isEvent(event) ? (event.body.old_incarnation as string | undefined) : undefined;
  }
  return [...left, ...chains];
}

/** The chains of which anything is here. */
export async function chainNames(db: Pick<Stores, "own">): Promise<Set<string>> {
  const names = new Set<string>();
  for (let [next] = await db.own.keys(undefined, 1); next !== undefined; ) {
    names.add(next[0]);
    [next] = await db.own.keys(IDBKeyRange.lowerBound([next[0], Number.POSITIVE_INFINITY]), 1);
  }
  return names;
}

/** The keys of a chain's events after a seq. */
export const afterSeq = (incarnation: string, seq: number): IDBKeyRange =>
  IDBKeyRange.bound([incarnation, seq], [incarnation, Number.POSITIVE_INFINITY], true);

/** How far the server holds the present chain. More than before confirms events; less means that they are offered again. */
export function acknowledge(incarnation: string, seq: number): Promise<void> {
  return alone(() =>
    writing(["meta"], async (db) => {
      const row = await db.meta.read<StationRow>("station");
      if (row?.incarnation === incarnation && row.acked !== seq) {
        await db.meta.write("station", { ...row, acked: Math.min(seq, row.seq) });
      }
    }),
  );
}
