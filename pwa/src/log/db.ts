/**
 * The station's own store. Every write that says "saved" was made with strict durability; every call has a time limit,
 * since a browser may leave a database hanging after a tab was frozen.
 */
import Dexie, { type EntityTable, type Table } from "dexie";

/** An event this station wrote. Kept for good: a restored server may ask for it again (F4.4). */
export type OwnEvent = {
  readonly incarnation: string;
  readonly seq: number;
  readonly text: string;
  readonly hash: string;
  /** 1 once it was written again in a later incarnation after a fork. */
  readonly void: 0 | 1;
};

/** Pulled lines, packed: `lines` are position TAB mark TAB bytes, one a line (F8.2). */
export type Chunk = {
  readonly first: number;
  readonly last: number;
  readonly lines: string;
  readonly codes: readonly string[];
};

export type Doc = { readonly id: string; readonly kind: string; readonly rev: number; readonly body: unknown };
export type KeptPhoto = {
  readonly sha256: string;
  readonly bytes: ArrayBuffer;
  readonly type: string;
  readonly job: string;
  readonly at_ms: number;
};
export type SavedDraft = { readonly id: string; readonly at_ms: number; readonly value: unknown };
export type ToPrint = {
  readonly id: string;
  readonly kind: string;
  readonly fields: Record<string, string | number>;
  readonly at_ms: number;
};

export type StationRow = {
  readonly station: string;
  readonly name: string;
  readonly role: string;
  readonly shop: string;
  readonly incarnation: string;
  /** Last own seq, its hash, last acknowledged seq, last minted counter. */
  readonly seq: number;
  readonly head: string;
  readonly acked: number;
  readonly counter: number;
};

export class StationDb extends Dexie {
  own!: Table<OwnEvent, [string, number]>;
  chunks!: EntityTable<Chunk, "first">;
  docs!: EntityTable<Doc, "id">;
  docsOut!: EntityTable<Doc, "id">;
  photos!: EntityTable<KeptPhoto, "sha256">;
  drafts!: EntityTable<SavedDraft, "id">;
  toPrint!: EntityTable<ToPrint, "id">;
  meta!: Table<unknown, string>;

  constructor(name = "traymark") {
    super(name, { chromeTransactionDurability: "strict" });
    this.version(1).stores({
      own: "[incarnation+seq], incarnation",
      chunks: "first, *codes",
      docs: "id, kind",
      docsOut: "id",
      photos: "sha256",
      drafts: "id",
      toPrint: "id",
      meta: "",
    });
  }
}

const LIMIT_MS = 8_000;
let db: StationDb | null = null;

export class StorageFailed extends Error {}

/** Storage work. `late` is aborted when the time limit has passed: what would still write must then not. */
export type Work<T> = (db: StationDb, late: AbortSignal) => Promise<T>;

/**
 * Run storage work within the time limit. Work that hung or lost its connection is tried once more on a fresh one,
 * unless it is `once`; no room is never tried again. Throws StorageFailed; a bug in the work goes through as it is.
 */
export async function withDb<T>(work: Work<T>, again: "retry" | "once" = "retry"): Promise<T> {
  try {
    return await limited(work);
  } catch (error) {
    if (again === "once" || isFull(error) || !isOfStorage(error)) throw told(error);
  }
  try {
    return await limited(work);
  } catch (error) {
    throw told(error);
  }
}

async function limited<T>(work: Work<T>): Promise<T> {
  db ??= new StationDb();
  const used = db;
  const late = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const limit = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      late.abort();
      reject(new StorageFailed("time limit"));
    }, LIMIT_MS);
  });
  try {
    return await Promise.race([work(used, late.signal), limit]);
  } catch (error) {
    // A connection that failed is not used again, and nobody else's newer one is touched.
    if (isOfStorage(error) && !isFull(error)) {
      used.close();
      if (db === used) db = null;
    }
    throw error;
  } finally {
    clearTimeout(timer);
  }
}

const isOfStorage = (error: unknown): boolean =>
  error instanceof StorageFailed || error instanceof Dexie.DexieError || error instanceof DOMException;

/** No room: told at the writing or only when it is committed. */
function isFull(error: unknown): boolean {
  const { name, inner } = (error ?? {}) as { readonly name?: string; readonly inner?: unknown };
  return name === "QuotaExceededError" || (inner !== undefined && inner !== error && isFull(inner));
}

const told = (error: unknown): unknown =>
  isOfStorage(error) && !(error instanceof StorageFailed) ? new StorageFailed(String(error), { cause: error }) : error;

export const getMeta = <T>(key: string): Promise<T | undefined> =>
  withDb((d) => d.meta.get(key) as Promise<T | undefined>);
export const putMeta = (key: string, value: unknown): Promise<void> =>
  withDb(async (d) => {
    await d.meta.put(value, key);
  });
