/**
 * The way into the station's stores. Every write behind a "saved" was made with strict durability. A browser may leave a
 * database hanging after a tab was frozen, so opening it and each short call have a time limit. What a start reads has
 * none: a slow phone gets there too.
 */
import type { IDBPDatabase } from "idb";
import { eachAlone, openStores, type StoreName, type Stores, together } from "./stores.ts";

export type * from "./rows.ts";
export type { StoreName, Stores } from "./stores.ts";

const LIMIT_MS = 8_000;
let connection: Promise<IDBPDatabase> | null = null;

export class StorageFailed extends Error {}

/** Whether work that hung or lost its connection is tried once more on a new one. */
type Again = "retry" | "once";

/** Work on the stores; each of their calls is a transaction of its own. Throws StorageFailed; a bug in the work is passed on. */
export const withDb = <T>(work: (db: Stores) => Promise<T>, again: Again = "retry"): Promise<T> =>
  tried((db, late) => work(eachAlone(db, late)), again);

/** Read several stores as of one moment, however long it takes. `work` waits for nothing but the stores that it is given. */
export const reading = <N extends StoreName, T>(
  names: readonly N[],
  work: (db: Pick<Stores, N>) => Promise<T>,
): Promise<T> => tried((db, late) => together(db, names, "readonly", late, work), "retry", "patient");

/** Change several stores together or not at all. `work` waits for nothing but the stores that it is given. */
export const writing = <N extends StoreName, T>(
  names: readonly N[],
  work: (db: Pick<Stores, N>) => Promise<T>,
  again: Again = "retry",
): Promise<T> => tried((db, late) => together(db, names, "readwrite", late, work), again);

export const getMeta = <T>(name: string): Promise<T | undefined> => withDb((db) => db.meta.read<T>(name));
export const putMeta = (name: string, value: unknown): Promise<void> => withDb((db) => db.meta.write(name, value));

/** Whether only the opening of the stores has a time limit. */
type Patience = "patient" | "limited";

/** `late` is aborted once the time limit has passed: after that nothing may be written. */
type Work<T> = (db: IDBPDatabase, late: AbortSignal) => Promise<T>;

/** A store without room is not tried again. */
async function tried<T>(work: Work<T>, again: Again, patience: Patience = "limited"): Promise<T> {
  try {
    return await limited(work, patience);
  } catch (error) {
    if (again === "once" || isFull(error) || !isOfStorage(error)) throw told(error);
  }
  try {
    return await limited(work, patience);
  } catch (error) {
    throw told(error);
  }
}

async function limited<T>(work: Work<T>, patience: Patience): Promise<T> {
  const used = connected();
  const late = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const limit = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      late.abort();
      reject(new StorageFailed("time limit"));
    }, LIMIT_MS);
  });
  const done = used.then((db) => {
    if (patience === "patient") clearTimeout(timer);
    return work(db, late.signal);
  });
  try {
    return await Promise.race([done, limit]);
  } catch (error) {
    if (isOfStorage(error) && !isFull(error)) leave(used);
    throw error;
  } finally {
    clearTimeout(timer);
  }
}

/** Begin to open the stores before anybody asks; whoever asks later gets the result. */
export const openEarly = (): void => void connected().catch(() => undefined);

function connected(): Promise<IDBPDatabase> {
  if (connection !== null) return connection;
  const opening = openStores(() => leave(opening));
  connection = opening;
  return opening;
}

/** Drop a connection that failed, but not a newer one that somebody else has opened since. */
function leave(used: Promise<IDBPDatabase>): void {
  if (connection === used) connection = null;
  used.then((db) => db.close()).catch(() => undefined);
}

const isOfStorage = (error: unknown): boolean => error instanceof StorageFailed || error instanceof DOMException;

/** No room: reported by the write, or only at the commit. */
const isFull = (error: unknown): boolean => error instanceof DOMException && error.name === "QuotaExceededError";

const told = (error: unknown): unknown =>
  error instanceof DOMException ? new StorageFailed(String(error), { cause: error }) : error;
