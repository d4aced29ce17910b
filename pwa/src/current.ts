/** Where log meets fold: the pulled log, this station's own events on top (F4.2), and the state they make. */
import { batch, signal } from "@preact/signals";
import { type Event, eventId, isEvent, parse } from "./events/envelope.ts";
import type { RecordPlace } from "./fold/changes.ts";
import { type Entry, fold, foldOn, stateHash } from "./fold/fold.ts";
import { EMPTY, type State } from "./fold/state.ts";
import { type Doc, getMeta, reading, type StationRow } from "./log/db.ts";
import { ownBeyond } from "./log/own.ts";
import { readChunks, readLines } from "./log/pulled.ts";
import { readState, type StateAt, type Unkept } from "./log/records.ts";

/** What everybody sees on the screens of this station. */
export const state = signal<State>(EMPTY);
/** Cards and documents by id (F7). */
export const docs = signal<ReadonlyMap<string, Doc>>(new Map());
/** This station; null before it joined the shop. */
export const station = signal<StationRow | null>(null);
/** Staff id of the person signed on here; null when nobody is. */
export const signedOn = signal<string | null>(null);
/** Own events that the pulled log does not hold yet, by seq. */
export const ownOnTop = signal<readonly Event[]>([]);

let base: State = EMPTY;
let basePosition = 0;
/** How often the pulled log had been forgotten when `base` was begun. In another such generation, positions name other events. */
let baseTime = 0;
/** Records of `base` that may differ from those kept, by collection and key. */
let unkept = new Map<string, RecordPlace>();

/** Load everything from the station's stores. Called at start, and again when another tab changed them. */
export async function load(): Promise<void> {
  for (;;) {
    const time = (await getMeta<number>("times_forgotten")) ?? 0;
    const isBegun = time === baseTime && basePosition > 0;
    const start = isBegun ? { state: base, position: basePosition } : await readState();
    const found = await reading(["meta", "own", "chunks", "docs", "docsOut"], async (db) => {
      if (((await db.meta.read<number>("times_forgotten")) ?? 0) !== time) return null;
      return {
        chunks: await readChunks(db, start.position),
        own: await ownBeyond(db, (incarnation) => start.state.chain.get(incarnation)?.seq ?? 0),
        row: await db.meta.read<StationRow>("station"),
        staff: await db.meta.read<string | null>("signed_on"),
        docs: [...(await db.docs.all()), ...(await db.docsOut.all())],
      };
    });
    // Another tab forgot the log meanwhile: positions name other events now.
    if (found === null) continue;
    batch(() => {
      if (time !== baseTime || start.position > basePosition) begin(time, start);
      takePulled(found.chunks.flatMap((c) => readLines(c.lines)));
      station.value = found.row ?? null;
      signedOn.value = found.staff ?? null;
      docs.value = new Map(found.docs.map((d) => [d.id, d]));
      setTop(found.own.map((o) => parse(o.text)).filter(isEvent));
    });
    return;
  }
}

function begin(time: number, start: StateAt): void {
  base = start.state;
  basePosition = start.position;
  baseTime = time;
  unkept = new Map();
}

/** New events of this station, already durable: shown at once, unless another tab's news showed them before. */
export function takeOwn(events: readonly Event[], row: StationRow): void {
  const shown = new Set(ownOnTop.value.map(eventId));
  const fresh = events.filter((e) => !shown.has(eventId(e)));
  batch(() => {
    station.value = row;
    ownOnTop.value = [...ownOnTop.value, ...fresh];
    state.value = fold(state.value, fresh.map(toEntry));
  });
}

/**
 * New events of the shop's log. False, with nothing taken, if they do not follow the last one taken: the log must then be
 * pulled from its beginning.
 */
export function takePulled(entries: readonly { readonly position: number; readonly entry: Entry }[]): boolean {
  const fresh = entries.filter((e) => e.position > basePosition);
  if (fresh.some((e, i) => e.position !== basePosition + 1 + i)) return false;
  if (fresh.length === 0) return true;
  const { state: next, changed } = foldOn(
    base,
    fresh.map((e) => e.entry),
  );
  base = next;
  basePosition += fresh.length;
  for (const place of changed) unkept.set(place.join("/"), place);
  setTop(ownOnTop.value);
  return true;
}

/** Changed cards and documents. */
export function takeDocs(changed: readonly Doc[]): void {
  if (changed.length === 0) return;
  const next = new Map(docs.value);
  for (const doc of changed) next.set(doc.id, doc);
  docs.value = next;
}

/** What the station has folded of the shop's log and not kept yet. */
export const notKept = (): Unkept => ({ state: base, position: basePosition, changed: [...unkept.values()] });

/** Those records are kept now. */
export function areKept({ position }: Unkept): void {
  if (position === basePosition) unkept = new Map();
}

/** The last seq of a chain in the pulled log. */
export const pulledSeq = (incarnation: string): number => base.chain.get(incarnation)?.seq ?? 0;

/** F5.10 of what is shown here, for comparing stations. */
export const shownHash = (): Promise<string> => stateHash(state.value);

function setTop(events: readonly Event[]): void {
  const top = events.filter((e) => e.seq > (base.chain.get(e.incarnation)?.seq ?? 0));
  batch(() => {
    ownOnTop.value = top;
    state.value = fold(base, top.map(toEntry));
  });
}

const toEntry = (event: Event): Entry => ({ incarnation: event.incarnation, seq: event.seq, event });
