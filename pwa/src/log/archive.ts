/** An answer of the archive (F8.8): records that were put away, their cards, and their history. */
import type { Doc, KeptRecord } from "./db.ts";
import { readRecord } from "./live.ts";
import { type Placed, readLines } from "./pulled.ts";

export type Kept = {
  readonly records: readonly KeptRecord[];
  readonly docs: readonly Doc[];
  readonly lines: readonly Placed[];
};

/** Null when this is not our server's answer. */
export function readKept(text: string): Kept | null {
  const all = text.split("\n");
  const first = all.indexOf("");
  const second = all.indexOf("", first + 1);
  if (first === -1 || second === -1) return null;
  try {
    return {
      records: all.slice(0, first).map(readRecord),
      docs: all.slice(first + 1, second).map((line) => JSON.parse(line) as Doc),
      lines: readLines(all.slice(second + 1).join("\n")),
    };
  } catch {
    return null;
  }
}
