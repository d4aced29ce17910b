/** The station's own log: the only place where events are written (F2.1, F3). */
import { mint } from "../codes/codes.ts";
import { genesis, link } from "../events/chain.ts";
import { type Event, isEvent, parse } from "../events/envelope.ts";
import type { Bodies, Kind } from "../events/kinds.gen.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { getMeta, type OwnEvent, type StationRow, StorageFailed, type Stores, withDb, writing } from "./db.ts";
import { alone, tellTabs } from "./tabs.ts";

export type NewEvent = {
  [K in Kind]: { readonly kind: K; readonly job?: string | null; readonly body: Bodies[K] };
}[Kind];

/** What the writer of events may ask for. A code minted here is used up together with the events that name it. */
export type Pen = { readonly mint: (kind: "J" | "D" | "T" | "P" | "C" | "B") => string; readonly nowMs: number };

export type Appended = { readonly events: readonly Event[]; readonly station: StationRow };

/**
 * Write events, all or none. On return they are durable on this station.
 * `storage-failed` when the phone could not keep them; `station-unknown` before joining.
 */
export async function append(
  staff: string | null,
  nowMs: number,
  write: (pen: Pen) => readonly NewEvent[],
): Promise<Result<Appended>> {
  return alone(async () => {
    let before: StationRow | undefined;
    try {
      before = await getMeta<StationRow>("station");
    } catch (error) {
      return notKept(error);
    }
    if (before === undefined) return refuse("station-unknown");
    const { incarnation } = before;
    let counter = before.counter;
    const pen: Pen = {
      nowMs,
      mint: (kind) => {
        const minted = mint(kind, incarnation, counter + 1);
        counter = minted.counter;
        return minted.code;
      },
    };
    const ours = await linked(before, staff, nowMs, write(pen));
    const after: StationRow = { ...before, ...ours.end, counter };
    try {
      await writing(
        ["own", "meta"],
        async (db) => {
          await db.own.addMany(ours.rows);
          await db.meta.write("station", after);
        },
        "once",
      );
    } catch (error) {
      const refusal = notKept(error);
      if (!(await didCommit(after))) return refusal;
    }
    tellTabs("own");
    return ok({ events: ours.events, station: after });
  });
}

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

/** The refusal for storage that failed; a bug is passed on. */
function notKept(error: unknown): ReturnType<typeof refuse> {
  if (error instanceof StorageFailed) return refuse("storage-failed", error.message);
  throw error;
}

/** After a failed write: whether it was committed after all. A late commit still counts. */
async function didCommit(row: StationRow): Promise<boolean> {
  try {
    const now = await getMeta<StationRow>("station");
    return now?.incarnation === row.incarnation && now.head === row.head && now.seq === row.seq;
  } catch {
    return false;
  }
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

type Linked = {
  readonly rows: readonly OwnEvent[];
  readonly events: readonly Event[];
  readonly end: { readonly seq: number; readonly head: string };
};

/** New events as the next ones of a chain. */
export async function linked(
  from: StationRow,
  staff: string | null,
  nowMs: number,
  items: readonly NewEvent[],
): Promise<Linked> {
  const rows: OwnEvent[] = [];
  const events: Event[] = [];
  let { seq, head } = from;
  for (const item of items) {
    seq += 1;
    const text = JSON.stringify({
      v: 1, kind: item.kind, station: from.station, incarnation: from.incarnation, seq,
      staff, at_ms: nowMs, job: item.job ?? null, body: item.body,
    }); // biome-ignore format: one line of members, as in the format
    const event = parse(text);
    if (!isEvent(event) || !event.known) throw new Error(`unsound event: ${JSON.stringify(event)} ${text}`);
    head = await link(head, text);
    rows.push({ incarnation: from.incarnation, seq, text, hash: head, void: 0 });
    events.push(event);
  }
  return { rows, events, end: { seq, head } };
}
