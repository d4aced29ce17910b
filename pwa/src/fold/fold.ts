/** Applying entries of the log to a state, and the hash of a whole state (F5). */
import { sha256 } from "../events/chain.ts";
import { type Event, isEvent, type Rejected } from "../events/envelope.ts";
import { FOLD_TABLES } from "../events/kinds.gen.ts";
import { blankRecords, COLLECTIONS, type Collection, kinds } from "../tables.ts";
import { Changes, type RecordPlace } from "./changes.ts";
import { compileEffect, type Effect } from "./effects.ts";
import type { AnyRecord, AnyState, State } from "./state.ts";

/** The event with this seq in a chain, or why there is none. */
export type Entry = { readonly incarnation: string; readonly seq: number; readonly event: Event | Rejected };

/** Increase it when the fold itself changes. */
const FOLD_VERSION = "1";

/** Names this fold and its tables. Records made by another fold are folded again from the log. */
export const foldName = (): string => `${FOLD_VERSION}-${FOLD_TABLES}`;

const EFFECTS: ReadonlyMap<string, readonly Effect[]> = new Map(
  Object.entries(kinds).map(([kind, spec]) => [kind, spec.effects.map(compileEffect)]),
);

/** The state after these entries; repeated, unknown and malformed events have no effect (F5.2). */
export const fold = (state: State, entries: Iterable<Entry>): State => foldOn(state, entries).state;

/** The same, with the places of all records that may have changed. */
export function foldOn(state: State, entries: Iterable<Entry>): { state: State; changed: readonly RecordPlace[] } {
  const changes = new Changes(state);
  for (const entry of entries) {
    const last = (changes.look("chain", entry.incarnation)?.seq as number | undefined) ?? 0;
    if (entry.seq <= last) continue;
    changes.record("chain", entry.incarnation).seq = entry.seq;
    if (!isEvent(entry.event) || !entry.event.known) continue;
    for (const effect of EFFECTS.get(entry.event.kind) ?? []) effect(changes, entry.event);
  }
  return { state: changes.done(), changed: changes.touched() };
}

/** F5.10, in hex. */
export async function stateHash(state: State): Promise<string> {
  const lines: string[] = [];
  for (const collection of COLLECTIONS) {
    const records = (state as unknown as AnyState)[collection];
    for (const key of [...records.keys()].sort(ascii)) {
      lines.push(`${collection}/${key} ${canonical(written(collection, records.get(key) as AnyRecord))}\n`);
    }
  }
  return sha256(new TextEncoder().encode(lines.join("")));
}

/** The members that differ from the blank record's: a new member of a record changes no hash until it is used. */
function written(collection: Collection, record: AnyRecord): AnyRecord {
  const blank = BLANK[collection];
  return Object.fromEntries(Object.entries(record).filter(([name, value]) => canonical(value) !== blank.get(name)));
}

const BLANK = Object.fromEntries(
  COLLECTIONS.map((name) => [
    name,
    new Map(Object.entries(blankRecords[name]).map(([member, value]) => [member, canonical(value)])),
  ]),
) as unknown as Readonly<Record<Collection, ReadonlyMap<string, string>>>;

function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  const record = value as AnyRecord;
  const members = Object.keys(record).sort(ascii);
  return `{${members.map((k) => `${JSON.stringify(k)}:${canonical(record[k])}`).join(",")}}`;
}

function ascii(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
