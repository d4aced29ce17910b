/** The folded state as this station keeps it: record by record, so that a change writes only what changed. */
import type { RecordPlace } from "../fold/changes.ts";
import { foldName } from "../fold/fold.ts";
import { type AnyState, EMPTY, type State } from "../fold/state.ts";
import { blankRecords, type Collection } from "../tables.ts";
import { getMeta, type KeptRecord, reading, StorageFailed, type Stores } from "./db.ts";

/** Which fold made the kept records, and up to which position of the shop's log. */
type Folded = { readonly fold: string; readonly position: number };

export type StateAt = { readonly state: State; readonly position: number };

/** Records to be kept: all that may have changed since the last time. */
export type Unkept = StateAt & { readonly changed: readonly RecordPlace[] };

/**
 * The kept state; the empty one at 0 when there is none, or when it cannot be read. One that another fold made is shown
 * until the server has sent it again (sync/pull.ts).
 */
export async function readState(): Promise<StateAt> {
  try {
    return await reading(["meta", "records"], async (db) => {
      const folded = await db.meta.read<Folded>("folded");
      if (folded === undefined) return NOTHING;
      const state = stateOf(await db.records.all());
      return state === null ? NOTHING : { state, position: folded.position };
    });
  } catch (error) {
    if (error instanceof StorageFailed) return NOTHING;
    throw error;
  }
}
const NOTHING: StateAt = { state: EMPTY, position: 0 };

/** Records as a state; null when one of them is none. What an older fold did not know is blank. */
export function stateOf(records: Iterable<KeptRecord>): State | null {
  const state: Record<string, Map<string, unknown>> = Object.fromEntries(
    Object.keys(EMPTY).map((name) => [name, new Map<string, unknown>()]),
  );
  for (const { collection, key, record } of records) {
    if (typeof record !== "object" || record === null) return null;
    state[collection]?.set(key, { ...blankRecords[collection as Collection], ...record });
  }
  return state as unknown as State;
}

/** Whether the kept records were made by this program's fold. */
export const areOfThisFold = async (): Promise<boolean> => (await getMeta<Folded>("folded"))?.fold === foldName();

/** Keep records, inside an open transaction. */
export async function writeRecords(db: Pick<Stores, "meta" | "records">, unkept: Unkept): Promise<void> {
  const state = unkept.state as unknown as AnyState;
  const now = unkept.changed.map(([collection, key]) => ({ collection, key, record: state[collection].get(key) }));
  await db.records.putMany(now.filter((r) => r.record !== undefined));
  await db.records.deleteMany(now.filter((r) => r.record === undefined).map((r) => [r.collection, r.key]));
  await writeFolded(db, unkept.position);
}

/** Note up to where the kept records go. */
export const writeFolded = (db: Pick<Stores, "meta">, position: number): Promise<void> =>
  db.meta.write("folded", { fold: foldName(), position } satisfies Folded);
