/** The station's stores in IndexedDB. A write is done when it is on the disk; several stores change together or not at all. */
import { type IDBPDatabase, type IDBPObjectStore, openDB } from "idb";
import type { Chunk, Doc, KeptPhoto, KeptRecord, Named, OwnEvent, SavedDraft, SentPhoto, ToPrint } from "./rows.ts";

const NAME = "traymark-station";

/** Each step takes the stores from one version to the next, so their number is the version. Never edit a step that a shop has. */
const STEPS: readonly ((db: IDBPDatabase) => void)[] = [
  (db) => {
    db.createObjectStore("own", { keyPath: ["incarnation", "seq"] });
    db.createObjectStore("chunks", { keyPath: "first" }).createIndex("codes", "codes", { multiEntry: true });
    db.createObjectStore("records", { keyPath: ["collection", "key"] });
    db.createObjectStore("docs", { keyPath: "id" }).createIndex("kind", "kind");
    db.createObjectStore("docsOut", { keyPath: "id" });
    db.createObjectStore("photos", { keyPath: "sha256" });
    db.createObjectStore("drafts", { keyPath: "id" });
    db.createObjectStore("toPrint", { keyPath: "id" });
    db.createObjectStore("meta", { keyPath: "name" });
  },
  (db) => {
    db.createObjectStore("photosSent", { keyPath: "sha256" }).createIndex("sent_ms", "sent_ms");
  },
];

/** Open the stores. `gone`: another tab waits for a newer version, or the browser closed the connection. */
export function openStores(gone: () => void): Promise<IDBPDatabase> {
  return openDB(NAME, STEPS.length, {
    upgrade: (db, from) => {
      for (const step of STEPS.slice(from)) step(db);
    },
    blocking: gone,
    terminated: gone,
  });
}

type Store = IDBPObjectStore<unknown, string[], string, "readwrite">;
/** Runs work on one store: in the transaction that is open, else in one of its own. The work asks for all it wants at once. */
type Run = <T>(mode: IDBTransactionMode, work: (store: Store) => Promise<T>) => Promise<T>;

/** The rows of one store. */
export class Rows<Row, Key extends IDBValidKey> {
  constructor(protected readonly run: Run) {}

  get(key: Key): Promise<Row | undefined> {
    return this.run("readonly", (store) => store.get(key));
  }
  /** In the order of their keys. */
  all(range?: IDBKeyRange, most?: number): Promise<Row[]> {
    return this.run("readonly", (store) => store.getAll(range, most));
  }
  keys(range?: IDBKeyRange, most?: number): Promise<Key[]> {
    return this.run("readonly", (store) => store.getAllKeys(range, most)) as Promise<Key[]>;
  }
  last(range: IDBKeyRange): Promise<Row | undefined> {
    return this.run("readonly", async (store) => (await store.openCursor(range, "prev"))?.value);
  }
  /** Rows that an index has under a value, in the order of their keys. */
  where(index: string, value: IDBValidKey): Promise<Row[]> {
    return this.run("readonly", (store) => store.index(index).getAll(value));
  }
  /** The first rows, and the keys of those in a range, in the order of an index. */
  allBy(index: string, most: number): Promise<Row[]> {
    return this.run("readonly", (store) => store.index(index).getAll(undefined, most));
  }
  keysBy(index: string, range: IDBKeyRange): Promise<Key[]> {
    return this.run("readonly", (store) => store.index(index).getAllKeys(range)) as Promise<Key[]>;
  }
  count(): Promise<number> {
    return this.run("readonly", (store) => store.count());
  }

  /** Write a row; one with the same key is replaced. */
  put(row: Row): Promise<void> {
    return this.putMany([row]);
  }
  putMany(rows: readonly Row[]): Promise<void> {
    return this.#each(rows, (store, row) => store.put(row));
  }
  /** Write rows whose keys are new. */
  addMany(rows: readonly Row[]): Promise<void> {
    return this.#each(rows, (store, row) => store.add(row));
  }
  delete(key: Key): Promise<void> {
    return this.deleteMany([key]);
  }
  deleteMany(keys: readonly Key[]): Promise<void> {
    return this.#each(keys, (store, key) => store.delete(key));
  }
  deleteRange(range: IDBKeyRange): Promise<void> {
    return this.run("readwrite", async (store) => {
      await store.delete(range);
    });
  }
  clear(): Promise<void> {
    return this.run("readwrite", (store) => store.clear());
  }

  #each<T>(items: readonly T[], change: (store: Store, item: T) => Promise<unknown>): Promise<void> {
    return this.run("readwrite", (store) => {
      // A request that fails ends its transaction, and the transaction reports it.
      for (const item of items) change(store, item).catch(() => undefined);
      return Promise.resolve();
    });
  }
}

/** Single values by name. */
export class Values extends Rows<Named, string> {
  async read<T>(name: string): Promise<T | undefined> {
    return (await this.get(name))?.value as T | undefined;
  }
  write(name: string, value: unknown): Promise<void> {
    return this.put({ name, value });
  }
}

export type StoreName =
  | "own"
  | "chunks"
  | "records"
  | "docs"
  | "docsOut"
  | "photos"
  | "photosSent"
  | "drafts"
  | "toPrint"
  | "meta";

const storesOf = (on: (name: StoreName) => Run) => ({
  own: new Rows<OwnEvent, [string, number]>(on("own")),
  chunks: new Rows<Chunk, number>(on("chunks")),
  records: new Rows<KeptRecord, [string, string]>(on("records")),
  docs: new Rows<Doc, string>(on("docs")),
  docsOut: new Rows<Doc, string>(on("docsOut")),
  photos: new Rows<KeptPhoto, string>(on("photos")),
  photosSent: new Rows<SentPhoto, string>(on("photosSent")),
  drafts: new Rows<SavedDraft, string>(on("drafts")),
  toPrint: new Rows<ToPrint, string>(on("toPrint")),
  meta: new Values(on("meta")),
});

export type Stores = Readonly<ReturnType<typeof storesOf>>;

/** All stores; each call is a transaction of its own. */
export const eachAlone = (db: IDBPDatabase, late: AbortSignal): Stores =>
  storesOf(
    (name) => (mode, work) =>
      inTransaction(db, [name], mode, late, (store, commit) => {
        const result = work(store(name));
        // Nothing more will be asked for, so the browser need not hear from the page again, which may be closed by now.
        // One row may therefore come late; each is written so that this does no harm.
        if (mode === "readwrite") commit();
        return result;
      }),
  );

/** Work in one transaction over the stores it names. It may wait for nothing but them. */
export const together = <N extends StoreName, T>(
  db: IDBPDatabase,
  names: readonly N[],
  mode: IDBTransactionMode,
  late: AbortSignal,
  work: (stores: Pick<Stores, N>) => Promise<T>,
): Promise<T> =>
  inTransaction(db, names, mode, late, (store) => work(storesOf((name) => (_, run) => run(store(name)))));

/** All of it or nothing, and nothing once `late` was told, unless the commit had been asked for by then. */
async function inTransaction<T>(
  db: IDBPDatabase,
  names: readonly StoreName[],
  mode: IDBTransactionMode,
  late: AbortSignal,
  work: (store: (name: StoreName) => Store, commit: () => void) => Promise<T>,
): Promise<T> {
  late.throwIfAborted();
  const transaction = db.transaction([...names], mode, { durability: "strict" });
  const done = transaction.done.then(
    () => null,
    (error: unknown) => ({ error }),
  );
  const abort = (): void => {
    try {
      transaction.abort();
    } catch {
      // It has ended already.
    }
  };
  late.addEventListener("abort", abort);
  try {
    const result = await work(
      (name) => transaction.objectStore(name) as unknown as Store,
      () => transaction.commit(),
    );
    const failed = await done;
    if (failed !== null) throw failed.error;
    return result;
  } catch (error) {
    abort();
    await done;
    // Why the browser ended it, such as no room, says more than the error that the work met because of it.
    throw transaction.error ?? error;
  } finally {
    late.removeEventListener("abort", abort);
  }
}
