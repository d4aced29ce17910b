/** log/pulled.ts, current.ts: lines that were marked malformed, chunks that overlap, another epoch met by another tab. */
import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { areKept, load, notKept, pulledSeq, shownHash, state, takePulled } from "@pwa/current.ts";
import { isEvent, parse } from "@pwa/events/envelope.ts";
import { fold } from "@pwa/fold/fold.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import { putMeta, withDb, writing } from "@pwa/log/db.ts";
import { forgetPulled } from "@pwa/log/forgetPulled.ts";
import { chunksAfter, keepChunk, mergeChunks, pulledAbout, readLines } from "@pwa/log/pulled.ts";
import { writeRecords } from "@pwa/log/records.ts";
import { beforeEach, describe, expect, test, vi } from "vitest";
import { cardOf } from "./texts.ts";

type Log = { readonly lines: readonly (readonly [string, number, string])[]; readonly hash: string };

/** Logs with the state hash that the server's program computed for each. */
const LOGS = readFileSync(new URL("../vectors/sequences.ndjson", import.meta.url), "utf8")
  .trimEnd()
  .split("\n")
  .map((line) => JSON.parse(line) as Log);

/** The fold's own vectors also put sound events under another seq than they name, which the server would call malformed. */
function inItsPlace([incarnation, seq, text]: Log["lines"][number]): boolean {
  const event = parse(text);
  return !isEvent(event) || (event.incarnation === incarnation && event.seq === seq);
}

/** As the server sends a log (F8.2). */
const asLines = (lines: Log["lines"], first = 1): string =>
  lines
    .map(([incarnation, seq, text], index) => {
      const event = parse(text);
      const flag = isEvent(event) ? "-" : `${event.slug}@${incarnation}.${seq}`;
      return `${first + index}\t${flag}\t${text}`;
    })
    .join("\n");

async function pull(lines: string, epoch = "one"): Promise<boolean> {
  const placed = readLines(lines);
  if (!takePulled(placed)) return false;
  await keepChunk(lines, placed, { epoch, position: placed.at(-1)?.position ?? 0, head: "" }, null);
  return true;
}

/** Keep what has changed in the records, as at the end of a pull. */
async function keepRecords(): Promise<void> {
  const unkept = notKept();
  await writing(["meta", "records"], (db) => writeRecords(db, unkept));
  areKept(unkept);
}

/** As if the page were loaded anew: nothing in memory. */
async function reload(): Promise<void> {
  await putMeta("times_forgotten", 1 + Math.floor(1e9 * Math.random()));
  await load();
}

beforeEach(async () => {
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
  await reload();
});

const note = (seq: number, text = `note ${seq}`): string =>
  JSON.stringify({
    v: 1, kind: "note.added", station: "S001", incarnation: "7K2", seq, staff: null, at_ms: 0, job: "J7K200003Z", body: { note: named(text) },
  }); // biome-ignore format: one line of members, as in the format
/** The texts of these notes by their ids; this station holds none of the cards. */
const TEXTS = new Map<unknown, string>();
function named(text: string): string {
  const { id } = cardOf(text);
  TEXTS.set(id, text);
  return id;
}
const noteLines = (...positions: readonly number[]): string => positions.map((p) => `${p}\t-\t${note(p)}`).join("\n");
const notes = (): unknown => state.value.job.get("J7K200003Z")?.notes.map((n) => TEXTS.get(n.note));

describe("a malformed line", () => {
  test("is among the logs of the server", () => {
    const rejected = LOGS.flatMap((l) => l.lines).filter(([, , text]) => !isEvent(parse(text)));
    expect(rejected.length).toBeGreaterThan(2);
  });

  test("leaves the state that the server has, now, after a reload and with kept records", async () => {
    const hasMalformed = (log: Log): boolean => log.lines.some(([, , text]) => !isEvent(parse(text)));
    const tried = LOGS.filter((log) => hasMalformed(log) && log.lines.every(inItsPlace));
    expect(tried.length).toBeGreaterThan(2);
    for (const log of tried) {
      await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
      await reload();
      const half = Math.floor(log.lines.length / 2);
      expect(await pull(asLines(log.lines.slice(0, half)))).toBe(true);
      await keepRecords();
      expect(await pull(asLines(log.lines.slice(half), half + 1))).toBe(true);
      expect(await shownHash()).toBe(log.hash);
      await reload();
      expect(await shownHash()).toBe(log.hash);
      await keepRecords();
      await reload();
      expect(await shownHash()).toBe(log.hash);
    }
  });

  // In the notation of F10: 7K2.1 7K2.2!envelope-field 7K2.3!event-not-json 7K2.4
  test("advances the chain that the flag names, whatever its bytes say", async () => {
    const foreign = note(1).replace('"7K2"', '"9ZZ"').replace('"seq":1', '"seq":77');
    const lines = [
      noteLines(1),
      `2\tenvelope-field@7K2.2\t${foreign}`, // sound by itself, but it names another seq and chain
      "3\tevent-not-json@7K2.3\tno JSON\twith a tab @8AA.9",
      `4\t-\t${note(4)}`,
    ].join("\n");
    expect(await pull(lines)).toBe(true);
    expect([pulledSeq("7K2"), pulledSeq("9ZZ"), pulledSeq("8AA")]).toEqual([4, 0, 0]);
    expect(notes()).toEqual(["note 1", "note 4"]);
    const same = fold(EMPTY, [
      { incarnation: "7K2", seq: 1, event: parse(note(1)) },
      { incarnation: "7K2", seq: 2, event: { slug: "envelope-field", pointer: "/incarnation" } },
      { incarnation: "7K2", seq: 3, event: { slug: "event-not-json", pointer: "" } },
      { incarnation: "7K2", seq: 4, event: parse(note(4)) },
    ]);
    expect(state.value.chain).toEqual(same.chain);
  });
});

describe("chunks", () => {
  test("of which one was pulled again and longer are read from any position, each line once", async () => {
    await pull(noteLines(1, 2));
    await keepRecords();
    // Another tab had pulled 1 and 2, was closed before it noted so, and the next one pulled 1 to 3.
    await keepChunk(noteLines(1, 2, 3), readLines(noteLines(1, 2, 3)), { epoch: "one", position: 3, head: "" }, null);
    await keepChunk(noteLines(4), readLines(noteLines(4)), { epoch: "one", position: 4, head: "" }, null);
    expect((await chunksAfter(2)).map((c) => [c.first, c.last])).toEqual([
      [1, 3],
      [4, 4],
    ]);
    expect(await chunksAfter(4)).toEqual([]);
    await load();
    expect(notes()).toEqual(["note 1", "note 2", "note 3", "note 4"]);
    await reload();
    expect(notes()).toEqual(["note 1", "note 2", "note 3", "note 4"]);
  });

  test("that are many and small become few, and say the same", async () => {
    const many = Array.from({ length: 120 }, (_, i) => i + 1);
    for (const position of many) await pull(`${noteLines(position)}\n`);
    expect(await withDb((db) => db.chunks.count())).toBe(120);
    await mergeChunks();
    expect((await chunksAfter(0)).map((c) => [c.first, c.last])).toEqual([[1, 120]]);
    for (const position of [121, 122]) await pull(noteLines(position));
    await mergeChunks();
    expect((await chunksAfter(0)).map((c) => [c.first, c.last])).toEqual([[1, 122]]);
    expect((await pulledAbout("J7K200003Z")).map((p) => p.position)).toEqual([...many, 121, 122]);
    await reload();
    expect(notes()).toEqual([...many, 121, 122].map((n) => `note ${n}`));
  });

  test("that are full are not merged, nor read again to merge others", async () => {
    const long = (position: number): string =>
      `${position}\t-\t${note(position).replace('"v":1', `"v":1${" ".repeat(100_000)}`)}`;
    for (let position = 1; position <= 5; position += 1) await pull(long(position));
    await mergeChunks();
    expect((await chunksAfter(0)).map((c) => [c.first, c.last])).toEqual([
      [1, 2],
      [3, 4],
      [5, 5],
    ]);
    const asked = vi.spyOn(IDBObjectStore.prototype, "getAll");
    await mergeChunks();
    expect(asked.mock.calls[0]?.[0]).toMatchObject({ lower: 5 });
    vi.restoreAllMocks();
  });

  test("with a gap before them are not taken", async () => {
    await pull(noteLines(1));
    expect(takePulled(readLines(noteLines(3)))).toBe(false);
    expect(takePulled(readLines(noteLines(2, 4)))).toBe(false);
    expect(notes()).toEqual(["note 1"]);
    expect(takePulled(readLines(noteLines(1, 2)))).toBe(true);
    expect(notes()).toEqual(["note 1", "note 2"]);
  });
});

test("a tab that only follows shows the log of the new epoch, and nothing of the old one under it", async () => {
  await pull(noteLines(1, 2, 3));
  // Another tab meets the new epoch: its log is another one, and shorter.
  await forgetPulled();
  const other = `1\t-\t${note(1, "of the new epoch")}`;
  await keepChunk(other, readLines(other), { epoch: "two", position: 1, head: "" }, null);
  await load();
  expect(notes()).toEqual(["of the new epoch"]);
  expect(pulledSeq("7K2")).toBe(1);
});

describe("kept records", () => {
  test("are those that changed since they were kept last, and no others", async () => {
    await pull(noteLines(1, 2));
    await keepRecords();
    expect(notKept().changed).toEqual([]);
    const other = note(3).replace("J7K200003Z", "J7K200002Y");
    await pull(`3\t-\t${other}`);
    expect(notKept().changed).toEqual([
      ["job", "J7K200002Y"],
      ["chain", "7K2"],
    ]);
  });

  test("that cannot be read are folded again from the log", async () => {
    await pull(noteLines(1, 2, 3));
    await keepRecords();
    const hash = await shownHash();
    const getAll = IDBObjectStore.prototype.getAll;
    vi.spyOn(IDBObjectStore.prototype, "getAll").mockImplementation(function (this: IDBObjectStore, ...asked) {
      if (this.name === "records") throw new DOMException("damaged", "DataError");
      return getAll.apply(this, asked);
    });
    await reload();
    vi.restoreAllMocks();
    expect(await shownHash()).toBe(hash);
    expect(notes()).toEqual(["note 1", "note 2", "note 3"]);
    // They are kept again, all of them.
    await keepRecords();
    await withDb((db) => db.chunks.clear());
    await reload();
    expect(await shownHash()).toBe(hash);
  });

  test("are not read again when another tab pulled more", async () => {
    await pull(noteLines(1));
    await keepRecords();
    const asked = vi.spyOn(IDBDatabase.prototype, "transaction");
    await keepChunk(noteLines(2), readLines(noteLines(2)), { epoch: "one", position: 2, head: "" }, null);
    await load();
    expect(notes()).toEqual(["note 1", "note 2"]);
    const reads = asked.mock.calls.filter(([, mode]) => mode === "readonly");
    expect(reads.flatMap(([stores]) => (typeof stores === "string" ? [stores] : [...stores]))).not.toContain("records");
    vi.restoreAllMocks();
  });

  test("of a log that was forgotten are gone with it", async () => {
    await pull(noteLines(1, 2));
    await keepRecords();
    await forgetPulled();
    expect(await withDb((db) => db.records.count())).toBe(0);
    await load();
    expect(notes()).toBeUndefined();
  });
});
