/** The folded state as this station keeps it: record by record, so that a change writes only what changed. */
import type { RecordPlace } from "../fold/changes.ts";
import { foldName } from "../fold/fold.ts";
import { type AnyState, EMPTY, type State } from "../fold/state.ts";
import { reading, StorageFailed, type Stores } from "./db.ts";

/** Which fold made the kept records, and up to which position of the shop's log. */
type Folded = { readonly fold: string; readonly position: number };

export type StateAt = { readonly state: State; readonly position: number };

/** Records to be kept: all that may have changed since the last time. */
export type Unkept = StateAt & { readonly changed: readonly RecordPlace[] };

/** The kept state. The empty one at 0 when there is none, when another fold made it, or when it cannot be read. */
export async function readState(): Promise<StateAt> {
  try {
    return await reading(["meta", "records"], async (db) => {
      const folded = await db.meta.read<Folded>("folded");
      if (folded?.fold !== foldName()) return NOTHING;
      const state = Object.fromEntries(Object.keys(EMPTY).map((name) => [name, new Map<string, unknown>()]));
      for (const { collection, key, record } of await db.records.all()) {
        if (typeof record !== "object" || record === null) return NOTHING;
        state[collection]?.set(key, record);
      }
      return { state: state as unknown as State, position: folded.position };
    });
  } catch (error) {
    if (error instanceof StorageFailed) return NOTHING;
    throw error;
  }
}
const NOTHING: StateAt = { state: EMPTY, position: 0 };

/** Keep records, inside an open transaction. Those made by another fold are thrown away first. */
export async function writeRecords(db: Pick<Stores, "meta" | "records">, unkept: Unkept): Promise<void> {
  const name = foldName();
  const before = await db.meta.read<Folded>("folded");
  if (before !== undefined && before.fold !== name) await db.records.clear();
  const state = unkept.state as unknown as AnyState;
  const now = unkept.changed.map(([collection, key]) => ({ collection, key, record: state[collection].get(key) }));
  await db.records.putMany(now.filter((r) => r.record !== undefined));
  await db.records.deleteMany(now.filter((r) => r.record === undefined).map((r) => [r.collection, r.key]));
  await db.meta.write("folded", { fold: name, position: unkept.position } satisfies Folded);
}
