/** The station's own log: the only place where events are written (F2.1, F3). */
import { mint } from "../codes/codes.ts";
import { genesis, link } from "../events/chain.ts";
import { type Event, isEvent, parse } from "../events/envelope.ts";
import type { Bodies, Kind } from "../events/kinds.gen.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { getMeta, type OwnEvent, type StationRow, StorageFailed, withDb } from "./db.ts";
import { alone, tellTabs } from "./tabs.ts";

export type NewEvent = { [K in Kind]: { readonly kind: K; readonly job?: string | null; readonly body: Bodies[K] } }[Kind];

/** What the writer of events may ask for. Codes minted here are used up together with the events that name them. */
export type Pen = { readonly mint: (kind: "J" | "D" | "T" | "P" | "C" | "B") => string; readonly nowMs: number };

export type Written = { readonly events: readonly Event[]; readonly station: StationRow };

/**
 * Write events, all or none. On return they are durable on this station.
 * `storage-failed` when the phone could not keep them; `station-unknown` before joining.
 */
export async function record(
  staff: string | null,
  nowMs: number,
  write: (pen: Pen) => readonly NewEvent[],
): Promise<Result<Written>> {
  return alone(async () => {
    const before = await getMeta<StationRow>("station");
    if (before === undefined) return refuse("station-unknown");
    let counter = before.counter;
    const pen: Pen = {
      nowMs,
      mint: (kind) => {
        const minted = mint(kind, before.incarnation, counter + 1);
        counter = minted.counter;
        return minted.code;
      },
    };
    const chained = await chain(before, staff, nowMs, write(pen));
    const after: StationRow = { ...before, ...chained.end, counter };
    try {
      await withDb(
        (db) =>
          db.transaction("rw", db.own, db.meta, async () => {
            await db.own.bulkAdd([...chained.rows]);
            await db.meta.put(after, "station");
          }),
        "once",
      );
    } catch (error) {
      if (error instanceof StorageFailed) return refuse("storage-failed", error.message);
      throw error;
    }
    tellTabs("own");
    return ok({ events: chained.events, station: after });
  });
}

export type Identity = Pick<StationRow, "station" | "name" | "role" | "shop" | "incarnation">;

/** The row of a station that has written nothing yet in this incarnation. */
export async function firstRow(who: Identity): Promise<StationRow> {
  const { station, name, role, shop, incarnation } = who;
  return { station, name, role, shop, incarnation, seq: 0, head: await genesis(station, incarnation), acked: 0, counter: 0 };
}

/** Start a new chain (F3.1) and write again in it what the server has not acknowledged of the old one. */
export async function beginAgain(
  given: Partial<Identity> & Pick<StationRow, "incarnation">,
  reason: "restored" | "forked",
  nowMs: number,
): Promise<Result<StationRow>> {
  return alone(async () => {
    const old = await getMeta<StationRow>("station");
    if (old === undefined) return refuse("station-unknown");
    const unsent = await ownAfter(old.incarnation, old.acked);
    const { incarnation } = given;
    const fresh = await firstRow({ ...old, ...given });
    const began = {
      kind: "station.began" as const,
      body: { reason, old_incarnation: old.incarnation, old_seq: old.seq, old_head: old.head },
    };
    const renamed = new Map<string, string>();
    unsent.forEach((row, index) => {
      renamed.set(`${old.incarnation}.${row.seq}`, `${incarnation}.${index + 2}`);
    });
    const start = await chain(fresh, null, nowMs, [began]);
    const rows = [...start.rows];
    let end = start.end;
    for (const row of unsent) {
      const event = parse(row.text);
      if (!isEvent(event)) continue;
      const body = renameEvents(event.body, renamed);
      const next = await chain({ ...fresh, ...end }, event.staff, event.at_ms, [
        { kind: event.kind, job: event.job, body } as unknown as NewEvent,
      ]);
      rows.push(...next.rows);
      end = next.end;
    }
    const after = { ...fresh, ...end };
    await withDb(
      (db) =>
        db.transaction("rw", db.own, db.meta, async () => {
          for (const row of unsent) await db.own.put({ ...row, void: 1 });
          await db.own.bulkAdd(rows);
          await db.meta.put(after, "station");
        }),
      "once",
    );
    tellTabs("own");
    return ok(after);
  });
}

/** Own events of a chain after a seq, in order. */
export function ownAfter(incarnation: string, seq: number, most = 1_000_000): Promise<OwnEvent[]> {
  return withDb((db) =>
    db.own
      .where("[incarnation+seq]")
      .between([incarnation, seq + 1], [incarnation, Number.MAX_SAFE_INTEGER])
      .limit(most)
      .toArray(),
  );
}

/** All own events that still stand, of every incarnation. */
export const ownStanding = (): Promise<OwnEvent[]> => withDb((db) => db.own.filter((row) => row.void === 0).toArray());

/** The server has confirmed own events up to here. */
export function acknowledge(incarnation: string, seq: number): Promise<void> {
  return alone(() =>
    withDb((db) =>
      db.transaction("rw", db.meta, async () => {
        const row = (await db.meta.get("station")) as StationRow | undefined;
        if (row?.incarnation === incarnation && row.acked !== seq) {
          await db.meta.put({ ...row, acked: Math.min(seq, row.seq) }, "station");
        }
      }),
    ),
  );
}

type Chained = {
  readonly rows: readonly OwnEvent[];
  readonly events: readonly Event[];
  readonly end: { readonly seq: number; readonly head: string };
};

async function chain(
  from: StationRow,
  staff: string | null,
  nowMs: number,
  items: readonly NewEvent[],
): Promise<Chained> {
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

function renameEvents(body: Event["body"], renamed: ReadonlyMap<string, string>): Record<string, unknown> {
  const after = body.after;
  if (!Array.isArray(after)) return { ...body };
  return { ...body, after: after.map((id: string) => renamed.get(id) ?? id) };
}
