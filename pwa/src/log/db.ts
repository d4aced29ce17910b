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
export type Chunk = { readonly first: number; readonly last: number; readonly lines: string; readonly codes: readonly string[] };

export type Doc = { readonly id: string; readonly kind: string; readonly rev: number; readonly body: unknown };
export type KeptPhoto = {
  readonly sha256: string;
  readonly bytes: ArrayBuffer;
  readonly type: string;
  readonly job: string;
  readonly at_ms: number;
};
export type SavedDraft = { readonly id: string; readonly at_ms: number; readonly value: unknown };
export type ToPrint = { readonly id: string; readonly kind: string; readonly fields: Record<string, string | number>; readonly at_ms: number };

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

/** Run storage work within the time limit. A reading that hung is tried once more on a fresh connection; a writing never is. */
export async function withDb<T>(work: (db: StationDb) => Promise<T>, again: "retry" | "once" = "retry"): Promise<T> {
  try {
    return await limited(work);
  } catch (error) {
    db?.close();
    db = null;
    if (again === "retry" && !(error instanceof Dexie.QuotaExceededError)) return limited(work);
    throw new StorageFailed(String(error));
  }
}

async function limited<T>(work: (db: StationDb) => Promise<T>): Promise<T> {
  db ??= new StationDb();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new StorageFailed("time limit")), LIMIT_MS);
  });
  try {
    return await Promise.race([work(db), late]);
  } finally {
    clearTimeout(timer);
  }
}

export const getMeta = <T>(key: string): Promise<T | undefined> => withDb((d) => d.meta.get(key) as Promise<T | undefined>);
export const putMeta = (key: string, value: unknown): Promise<void> =>
  withDb(async (d) => {
    await d.meta.put(value, key);
  });
