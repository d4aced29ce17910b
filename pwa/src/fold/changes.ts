/** Changes to a state: records are copied when first touched, so that what was read stays as it was. */
import { blankRecords, COLLECTIONS, type Collection } from "../tables.ts";
import type { AnyRecord, AnyState, State } from "./state.ts";

export class Changes {
  readonly #base: AnyState;
  readonly #dirty: Record<Collection, Map<string, AnyRecord>> = {
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
    if (held !== undefined) return held;
    const copy = copyPlain(this.#base[collection].get(key) ?? blankRecords[collection]) as AnyRecord;
    this.#dirty[collection].set(key, copy);
    return copy;
  }

  /** The record to read only; undefined when no event has named it. */
  look(collection: Collection, key: string): Readonly<AnyRecord> | undefined {
    return this.#dirty[collection].get(key) ?? this.#base[collection].get(key);
  }

  /** The state with the changes; untouched collections and records are shared with the one before. */
  done(): State {
    const next = { ...this.#base } as Record<Collection, ReadonlyMap<string, AnyRecord>>;
    for (const collection of COLLECTIONS) {
      const changes = this.#dirty[collection];
      if (changes.size === 0) continue;
      const all = new Map(this.#base[collection]);
      for (const [key, record] of changes) all.set(key, record);
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
