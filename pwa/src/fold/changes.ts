/** Changes to a state: records are copied when first touched, so that what was read stays as it was. */
import { blankRecords, COLLECTIONS, type Collection } from "../tables.ts";
import { codesOf, counterOf, holds, PUT_AWAY, prefixOf, TRAY, withCounter } from "./away.ts";
import type { Range } from "./records.gen.ts";
import type { AnyRecord, AnyState, State } from "./state.ts";

/** Where a record is in the state. */
export type RecordPlace = readonly [collection: Collection, key: string];

export class Changes {
  readonly #base: AnyState;
  /** Records that were touched; null for one that was put away. */
  readonly #dirty: Record<Collection, Map<string, AnyRecord | null>> = {
    job: new Map(),
    thing: new Map(),
    box: new Map(),
    staff: new Map(),
    chain: new Map(),
    station: new Map(),
  };

  constructor(base: State) {
    this.#base = base as unknown as AnyState;
  }

  /** The record to change; a blank one when there was none (F5.1). */
  record(collection: Collection, key: string): AnyRecord {
    const held = this.#dirty[collection].get(key);
    if (held != null) return held;
    const copy = copyPlain(this.#base[collection].get(key) ?? blankRecords[collection]) as AnyRecord;
    this.#dirty[collection].set(key, copy);
    return copy;
  }

  /** The record to read only; undefined when there is none. */
  look(collection: Collection, key: string): Readonly<AnyRecord> | undefined {
    const held = this.#dirty[collection].get(key);
    return held === undefined ? this.#base[collection].get(key) : (held ?? undefined);
  }

  /** Whether there is no record because it was put away (F5.11). */
  isAway(collection: Collection, key: string): boolean {
    if (!PUT_AWAY.includes(collection) || key.startsWith(TRAY) || this.look(collection, key) !== undefined)
      return false;
    const away = this.look("chain", prefixOf(key))?.away as readonly Range[] | undefined;
    return away !== undefined && holds(away, counterOf(key));
  }

  /** Take the records of a code out of the live state, and leave the mark (F5.11). */
  putAway(code: string): void {
    const held = PUT_AWAY.filter((collection) => this.look(collection, code) !== undefined);
    if (held.length === 0) return;
    for (const collection of held) this.#dirty[collection].set(code, null);
    const prefix = prefixOf(code);
    const chain = this.record("chain", prefix);
    const isBare = (counter: number) =>
      codesOf(prefix, counter).every((one) => PUT_AWAY.every((collection) => this.look(collection, one) === undefined));
    chain.away = withCounter(chain.away as readonly Range[], counterOf(code), isBare);
  }

  /** What was touched so far, by collection and key. */
  touched(): readonly RecordPlace[] {
    return COLLECTIONS.flatMap((c) => [...this.#dirty[c].keys()].map((key): RecordPlace => [c, key]));
  }

  /** The state with the changes; untouched collections and records are shared with the one before. */
  done(): State {
    const next = { ...this.#base } as Record<Collection, ReadonlyMap<string, AnyRecord>>;
    for (const collection of COLLECTIONS) {
      const changes = this.#dirty[collection];
      if (changes.size === 0) continue;
      const all = new Map(this.#base[collection]);
      for (const [key, record] of changes) record === null ? all.delete(key) : all.set(key, record);
      next[collection] = all;
    }
    return next as unknown as State;
  }
}

function copyPlain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(copyPlain);
  if (typeof value !== "object" || value === null) return value;
  const copy: AnyRecord = {};
  for (const key of Object.keys(value)) copy[key] = copyPlain((value as AnyRecord)[key]);
  return copy;
}
