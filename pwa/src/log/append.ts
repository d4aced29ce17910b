/** Writing into the station's own log: the only place where events are made (F2.1, F3). A start does without it. */
import { mint } from "../codes/codes.ts";
import { link } from "../events/chain.ts";
import { type Event, isEvent, parse } from "../events/envelope.ts";
import type { Bodies, Kind } from "../events/kinds.gen.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { type Doc, getMeta, type OwnEvent, type StationRow, StorageFailed, writing } from "./db.ts";
import { alone, tellTabs } from "./tabs.ts";
import { textsApart } from "./texts.ts";

export type NewEvent = {
  [K in Kind]: { readonly kind: K; readonly job?: string | null; readonly body: Bodies[K] };
}[Kind];

/** What the writer of events may ask for. A code minted here is used up together with the events that name it. */
export type Pen = { readonly mint: (kind: "J" | "D" | "T" | "P" | "C" | "B") => string; readonly nowMs: number };

export type Appended = {
  readonly events: readonly Event[];
  /** The cards of what was written freely, durable as well. */
  readonly texts: readonly Doc[];
  readonly station: StationRow;
};

/**
 * Write events and the cards of their texts, all or none. On return they are durable on this station.
 * `storage-failed` when the phone could not keep them; `station-unknown` before joining.
 */
export async function append(
  staff: string | null,
  nowMs: number,
  write: (pen: Pen) => readonly NewEvent[],
  newSalt: () => string,
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
    const { items, texts } = await textsApart(write(pen), newSalt);
    const ours = await linked(before, staff, nowMs, items);
    const after: StationRow = { ...before, ...ours.end, counter };
    try {
      await writing(
        ["own", "docsOut", "meta"],
        async (db) => {
          await db.docsOut.putMany(texts);
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
    return ok({ events: ours.events, texts, station: after });
  });
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
