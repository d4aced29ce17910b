/** A station's stores as text, one line for each store and row, and back: what a browser holds when a newer app opens it. */
import "fake-indexeddb/auto";

const NAME = "traymark-station";

type Index = { readonly name: string; readonly keyPath: string | string[]; readonly multiEntry: boolean };
export type Shape = Readonly<
  Record<string, { readonly keyPath: string | string[]; readonly indexes: readonly Index[] }>
>;
export type Stored = {
  /** The number of steps (log/stores.ts) that made the stores. */
  readonly version: number;
  readonly shape: Shape;
  readonly rows: Readonly<Record<string, readonly unknown[]>>;
  /** What the station showed. */
  readonly says: unknown;
};

/** What is in the stores now. */
export async function readStores(says: unknown): Promise<Stored> {
  const db = await done(indexedDB.open(NAME));
  const names = [...db.objectStoreNames];
  const rows: Record<string, unknown[]> = {};
  for (const name of names) rows[name] = await done(db.transaction(name).objectStore(name).getAll());
  const stored = { version: db.version, shape: shapeOf(db), rows, says };
  db.close();
  return stored;
}

/** Make the stores what they were, whatever made them. The app under test must be loaded only after this. */
export async function putBack({ version, shape, rows }: Stored): Promise<void> {
  await dropStores();
  const opening = indexedDB.open(NAME, version);
  opening.onupgradeneeded = () => {
    for (const [name, { keyPath, indexes }] of Object.entries(shape)) {
      const store = opening.result.createObjectStore(name, { keyPath });
      for (const { name, keyPath, multiEntry } of indexes) store.createIndex(name, keyPath, { multiEntry });
      for (const row of rows[name] ?? []) store.add(row);
    }
  };
  (await done(opening)).close();
}

/** As on a station that has never opened the app. */
export const dropStores = async (): Promise<void> => void (await done(indexedDB.deleteDatabase(NAME)));

export function toText({ version, shape, rows, says }: Stored): string {
  const lines: unknown[] = [{ version, says }];
  for (const [store, made] of Object.entries(shape)) {
    lines.push({ store, ...made });
    for (const row of rows[store] ?? []) lines.push({ row });
  }
  return lines.map((line) => `${JSON.stringify(line, bytesToText)}\n`).join("");
}

export function fromText(text: string): Stored {
  const [first, ...lines] = text
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line, textToBytes));
  const shape: Record<string, Shape[string]> = {};
  const rows: Record<string, unknown[]> = {};
  let at: unknown[] = [];
  for (const { store, row, ...made } of lines) {
    if (store === undefined) {
      at.push(row);
      continue;
    }
    at = [];
    shape[store] = made;
    rows[store] = at;
  }
  return { ...first, shape, rows };
}

function shapeOf(db: IDBDatabase): Shape {
  const names = [...db.objectStoreNames];
  return Object.fromEntries(
    names.map((name) => {
      const store = db.transaction(name).objectStore(name);
      const indexes = [...store.indexNames].map((index) => {
        const { keyPath, multiEntry } = store.index(index);
        return { name: index, keyPath, multiEntry };
      });
      return [name, { keyPath: store.keyPath as string | string[], indexes }];
    }),
  );
}

const bytesToText = (_: string, value: unknown): unknown =>
  value instanceof ArrayBuffer ? { base64: btoa(String.fromCharCode(...new Uint8Array(value))) } : value;

function textToBytes(_: string, value: unknown): unknown {
  const packed = (value as { readonly base64?: unknown } | null)?.base64;
  return typeof packed === "string" ? Uint8Array.from(atob(packed), (c) => c.charCodeAt(0)).buffer : value;
}

const done = <T>(asked: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
