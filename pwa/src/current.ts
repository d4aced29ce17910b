/** Where log meets fold: the pulled log, this station's own events on top (F4.2), and the state they make. */
import { batch, signal } from "@preact/signals";
import { type Event, eventId, isEvent, parse } from "./events/envelope.ts";
import type { RecordPlace } from "./fold/changes.ts";
import { type Entry, fold, foldOn, stateHash } from "./fold/fold.ts";
import { EMPTY, type State } from "./fold/state.ts";
import type { Kept } from "./log/archive.ts";
import { type Doc, getMeta, reading, type StationRow } from "./log/db.ts";
import { ownBeyond } from "./log/own.ts";
import { type Placed, readChunks, readLines } from "./log/pulled.ts";
import { readState, type StateAt, type Unkept } from "./log/records.ts";
import type { Forgot } from "./log/silence.ts";
import { keptOf, NOTHING_VISITED, type Visited, visitedAfter, withVisited } from "./visited.ts";

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

/** Why this station forgot what it held of the shop; null when it holds it (F8.11). */
export const forgotten = signal<Forgot | null>(null);
/** What was read from the archive since the page was opened. It is shown like what is live, and kept nowhere. */
export const visited = signal<Visited>(NOTHING_VISITED);

/** The shop's log as folded here, without own events on top. */
let base: StateAt = { state: EMPTY, position: 0 };
/** How often the pulled log had been forgotten when `base` was begun. In another such generation, positions name other events. */
let baseTime = 0;
/** Records of `base` that may differ from those kept, by collection and key. */
let unkept = new Map<string, RecordPlace>();

/** Load everything from the station's stores. Called at start, and again when another tab changed them. */
export async function load(): Promise<void> {
  for (;;) {
    if (base.position > 0 && (await getMeta<Forgot>("forgot")) !== undefined) return loadWritten();
    const time = (await getMeta<number>("times_forgotten")) ?? 0;
    const isBegun = time === baseTime && base.position > 0;
    const start = isBegun ? base : await readState();
    const found = await reading(["meta", "own", "chunks", "docs", "docsOut"], async (db) => {
      if (((await db.meta.read<number>("times_forgotten")) ?? 0) !== time) return null;
      return {
        chunks: await readChunks(db, start.position),
        own: await ownBeyond(db, (incarnation) => start.state.chain.get(incarnation)?.seq ?? 0),
        row: await db.meta.read<StationRow>("station"),
        staff: await db.meta.read<string | null>("signed_on"),
        forgot: await db.meta.read<Forgot>("forgot"),
        docs: [...(await db.docs.all()), ...(await db.docsOut.all())],
      };
    });
    // Another tab forgot the log meanwhile: positions name other events now.
    if (found === null) continue;
    const lines = found.chunks.flatMap((c) => readLines(c.lines));
    // Another tab gave up lines that this one has not folded yet: the records have what they made.
    if (isBegun && !follow(lines, start.position)) {
      baseTime = -1;
      continue;
    }
    batch(() => {
      if (time !== baseTime || start.position > base.position) begin(time, start);
      takePulled(lines);
      station.value = found.row ?? null;
      signedOn.value = found.staff ?? null;
      forgotten.value = found.forgot ?? null;
      docs.value = new Map([...visited.value.docs, ...found.docs].map((d) => [d.id, d]));
      setTop(found.own.map((o) => parse(o.text)).filter(isEvent));
    });
    return;
  }
}

/** The shop was forgotten under what this page shows, which stays for now; what was written since is added. */
async function loadWritten(): Promise<void> {
  const found = await reading(["meta", "own", "docsOut"], async (db) => ({
    own: await ownBeyond(db, pulledSeq),
    row: await db.meta.read<StationRow>("station"),
    forgot: await db.meta.read<Forgot>("forgot"),
    docs: await db.docsOut.all(),
  }));
  batch(() => {
    forgotten.value = found.forgot ?? null;
    takeDocs(found.docs);
    if (found.row !== undefined) takeOwn(found.own.map((o) => parse(o.text)).filter(isEvent), found.row);
  });
}

function begin(time: number, start: StateAt): void {
  base = start;
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
export function takePulled(entries: readonly Placed[]): boolean {
  if (!follow(entries, base.position)) return false;
  const fresh = entries.filter((e) => e.position > base.position);
  if (fresh.length === 0) return true;
  const { state: next, changed } = foldOn(
    base.state,
    fresh.map((e) => e.entry),
  );
  base = { state: next, position: base.position + fresh.length };
  for (const place of changed) unkept.set(place.join("/"), place);
  visited.value = visitedAfter(visited.value, fresh);
  setTop(ownOnTop.value);
  return true;
}

/** Whether these go on from a position without a gap. Those up to it do not matter. */
const follow = (entries: readonly { readonly position: number }[], from: number): boolean =>
  entries.filter((e) => e.position > from).every((e, i) => e.position === from + 1 + i);

/** Changed cards and documents. */
export function takeDocs(changed: readonly Doc[]): void {
  if (changed.length === 0) return;
  const next = new Map(docs.value);
  for (const doc of changed) next.set(doc.id, doc);
  docs.value = next;
}

/** Cards that this station has given up. */
export function loseDocs(ids: readonly string[]): void {
  if (ids.length === 0) return;
  const next = new Map(docs.value);
  for (const id of ids) next.delete(id);
  docs.value = next;
}

/** Cards that were erased for good: what was read from the archive goes as well. */
export function loseErased(ids: readonly string[]): void {
  if (ids.length === 0) return;
  const gone = new Set(ids);
  visited.value = { ...visited.value, docs: visited.value.docs.filter((d) => !gone.has(d.id)) };
  loseDocs(ids);
}

/** Show what was read from the archive. */
export function visit(kept: Kept): void {
  batch(() => {
    visited.value = keptOf(visited.value, kept);
    takeDocs(kept.docs.filter((d) => !docs.value.has(d.id)));
    setTop(ownOnTop.value);
  });
}

/** How far the shop's log is folded here. */
export const basePosition = (): number => base.position;

/** What the station has folded of the shop's log and not kept yet. */
export const notKept = (): Unkept => ({ ...base, changed: [...unkept.values()] });

/** Those records are kept now. */
export function areKept({ position }: Unkept): void {
  if (position === base.position) unkept = new Map();
}

/** The last seq of a chain in the pulled log. */
export const pulledSeq = (incarnation: string): number => base.state.chain.get(incarnation)?.seq ?? 0;

/** The live state, own events on top: what is shown without what was visited. */
export const liveState = (): State => fold(base.state, ownOnTop.value.map(toEntry));

/** F5.10 of what is live here, for comparing stations. */
export const shownHash = (): Promise<string> => stateHash(liveState());

function setTop(events: readonly Event[]): void {
  const top = events.filter((e) => e.seq > (base.state.chain.get(e.incarnation)?.seq ?? 0));
  batch(() => {
    ownOnTop.value = top;
    state.value = fold(withVisited(base.state, visited.value), top.map(toEntry));
  });
}

const toEntry = (event: Event): Entry => ({ incarnation: event.incarnation, seq: event.seq, event });
