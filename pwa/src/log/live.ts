/** What a station begins with (F8.7): the live state at a position, and the history of what is live. */
import { foldName, stateHash } from "../fold/fold.ts";
import type { State } from "../fold/state.ts";
import { type Chunk, type KeptRecord, writing } from "./db.ts";
import { MOST_LETTERS, packed, readLines } from "./pulled.ts";
import { stateOf, writeFolded } from "./records.ts";

type Header = {
  readonly epoch: string;
  readonly position: number;
  readonly head: string;
  readonly hash: string;
  readonly fold: string;
  readonly now_ms: number;
};

export type Live = Header & { readonly records: readonly KeptRecord[]; readonly lines: readonly string[] };

/** An answer of the server; null when it is none, or when it does not fit its own hash. */
export async function readLive(text: string): Promise<Live | null> {
  const [top = "", history = ""] = halves(text);
  const [first = "", ...rest] = top.split("\n");
  try {
    const header = JSON.parse(first) as Header;
    const records = rest.filter((line) => line !== "").map(readRecord);
    const state = stateOf(records);
    if (!isHeader(header) || state === null || !(await fits(header, state))) return null;
    return { ...header, records, lines: history.split("\n").filter((line) => line !== "") };
  } catch {
    return null;
  }
}

/** A record as a line: collection, key, JSON. */
export function readRecord(line: string): KeptRecord {
  const first = line.indexOf("\t");
  const second = line.indexOf("\t", first + 1);
  const record: unknown = JSON.parse(line.slice(second + 1));
  return { collection: line.slice(0, first), key: line.slice(first + 1, second), record };
}

/**
 * Keep it in place of everything pulled so far, at this time of the station's clock. Durable on return; what this station
 * has not sent stays.
 */
export async function keepLive(live: Live, nowMs: number): Promise<void> {
  const chunks = chunksOf(live.lines);
  await writing(["chunks", "records", "meta"], async (db) => {
    await Promise.all([db.chunks.clear(), db.records.clear(), db.meta.delete("merged")]);
    await db.records.putMany(live.records);
    await db.chunks.putMany(chunks);
    await writeFolded(db, live.position);
    await db.meta.write("cursor", { epoch: live.epoch, position: live.position, head: live.head });
    await db.meta.delete("forgot");
    await db.meta.write("reached_ms", nowMs);
    await db.meta.write("times_forgotten", ((await db.meta.read<number>("times_forgotten")) ?? 0) + 1);
  });
}

/** A server of another version folds by other tables: their hashes cannot be compared. */
const fits = async (header: Header, state: State): Promise<boolean> =>
  header.fold !== foldName() || (await stateHash(state)) === header.hash;

const isHeader = (header: Partial<Header> | null): boolean =>
  typeof header?.epoch === "string" &&
  typeof header.head === "string" &&
  Number.isInteger(header.position) &&
  Number.isInteger(header.now_ms);

/** What stands before the first empty line, and what after it. */
function halves(text: string): readonly [string, string] {
  const at = text.indexOf("\n\n");
  return at === -1 ? [text, ""] : [text.slice(0, at), text.slice(at + 2)];
}

function chunksOf(lines: readonly string[]): readonly Chunk[] {
  const groups: string[][] = [];
  let room = 0;
  for (const line of lines) {
    if (groups.length === 0 || line.length > room) {
      groups.push([]);
      room = MOST_LETTERS;
    }
    groups.at(-1)?.push(line);
    room -= line.length;
  }
  return groups.map((group) => packed(readLines(group.join("\n")), group.join("\n")));
}
