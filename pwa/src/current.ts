/** Where log meets fold: the pulled log, this station's own events on top (F4.2), and the state they make. */
import { batch, signal } from "@preact/signals";
import { type Event, isEvent, parse } from "./events/envelope.ts";
import { type Entry, FOLD_VERSION, fold, stateHash } from "./fold/fold.ts";
import { EMPTY, type State } from "./fold/state.ts";
import { type Doc, getMeta, putMeta, type StationRow, withDb } from "./log/db.ts";
import { ownStanding } from "./log/own.ts";
import { chunksAfter, readLines } from "./log/pulled.ts";

export type Cursor = { readonly epoch: string; readonly position: number; readonly rev: number };
type Snapshot = { readonly version: number; readonly position: number; readonly state: State };

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

/** Load everything from the station's store. Called at start, and again when another tab changed it. */
export async function load(): Promise<void> {
  const [row, staff, snapshot, allDocs, waiting] = await Promise.all([
    getMeta<StationRow>("station"),
    getMeta<string | null>("signed_on"),
    getMeta<Snapshot>("snapshot"),
    withDb((db) => db.docs.toArray()),
    withDb((db) => db.docsOut.toArray()),
  ]);
  if (basePosition === 0 && snapshot?.version === FOLD_VERSION) {
    base = snapshot.state;
    basePosition = snapshot.position;
  }
  const chunks = await chunksAfter(basePosition);
  takePulled(chunks.flatMap((c) => readLines(c.lines).map((p) => ({ position: p.position, entry: p.entry }))));
  const own = await ownStanding();
  batch(() => {
    station.value = row ?? null;
    signedOn.value = staff ?? null;
    docs.value = new Map([...allDocs, ...waiting].map((d) => [d.id, d]));
    setTop(own.map((o) => parse(o.text)).filter(isEvent));
  });
}

/** New events of this station, already durable: shown at once. */
export function takeOwn(events: readonly Event[], row: StationRow): void {
  batch(() => {
    station.value = row;
    ownOnTop.value = [...ownOnTop.value, ...events];
    state.value = fold(state.value, events.map(toEntry));
  });
}

/** New events of the shop's log, already kept. Positions must follow the last one taken. */
export function takePulled(entries: readonly { readonly position: number; readonly entry: Entry }[]): void {
  const fresh = entries.filter((e) => e.position > basePosition);
  const last = fresh[fresh.length - 1];
  if (last === undefined) return;
  base = fold(base, fresh.map((e) => e.entry));
  basePosition = last.position;
  setTop(ownOnTop.value);
}

/** Start from nothing: the server has another epoch. */
export function forgetBase(): void {
  base = EMPTY;
  basePosition = 0;
}

/** Changed cards and documents. */
export function takeDocs(changed: readonly Doc[]): void {
  if (changed.length === 0) return;
  const next = new Map(docs.value);
  for (const doc of changed) next.set(doc.id, doc);
  docs.value = next;
}

/** Keep the folded state so that the next start is quick. Losing it costs only time. */
export async function keepSnapshot(): Promise<void> {
  await putMeta("snapshot", { version: FOLD_VERSION, position: basePosition, state: base } satisfies Snapshot);
}

export const pulledPosition = (): number => basePosition;

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
