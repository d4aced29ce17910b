/** The fold and the reading of events look at nothing but what they are given, and change nothing of it. */
import { readdirSync, readFileSync } from "node:fs";
import { parse } from "@pwa/events/envelope.ts";
import { fold, stateHash } from "@pwa/fold/fold.ts";
import { EMPTY, type State } from "@pwa/fold/state.ts";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

type Log = { readonly lines: readonly (readonly [string, number, string])[]; readonly hash: string };

const LOGS = readFileSync(new URL("../vectors/sequences.ndjson", import.meta.url), "utf8")
  .trimEnd()
  .split("\n")
  .map((line) => JSON.parse(line) as Log);

const entriesOf = (log: Log) => log.lines.map(([incarnation, seq, text]) => ({ incarnation, seq, event: parse(text) }));

describe("with a clock and a chance that throw", () => {
  const lookedAround = (): never => {
    throw new Error("the fold looked around");
  };

  beforeEach(() => {
    vi.spyOn(Date, "now").mockImplementation(lookedAround);
    vi.spyOn(Math, "random").mockImplementation(lookedAround);
    vi.spyOn(performance, "now").mockImplementation(lookedAround);
    vi.spyOn(crypto, "getRandomValues").mockImplementation(lookedAround);
    vi.spyOn(crypto, "randomUUID").mockImplementation(lookedAround);
    vi.spyOn(Intl, "DateTimeFormat").mockImplementation(lookedAround);
    vi.spyOn(String.prototype, "localeCompare").mockImplementation(lookedAround);
  });
  afterEach(() => {
    vi.restoreAllMocks();
  });

  it("reads and folds as ever", () => {
    const states = LOGS.map((log) => fold(EMPTY, entriesOf(log)));
    vi.restoreAllMocks();
    expect(states.every((state) => state.chain.size > 0)).toBe(true);
  });
});

it("names nothing of the world in its source", () => {
  const source = ["events", "fold"].flatMap((folder) => {
    const at = new URL(`../../pwa/src/${folder}/`, import.meta.url);
    return readdirSync(at).map((file) => readFileSync(new URL(file, at), "utf8"));
  });
  expect(source.length).toBeGreaterThan(5);
  const world =
    /\b(?:Date|Math\.random|performance|navigator|localStorage|indexedDB|fetch|Intl|toLocale\w+|localeCompare|setTimeout)\b/;
  expect(source.filter((text) => world.test(text))).toEqual([]);
});

it("folds upon a state that cannot be changed", async () => {
  for (const log of LOGS) {
    let state: State = EMPTY;
    for (const entry of entriesOf(log)) {
      state = fold(state, [entry]);
      for (const records of [state.job, state.thing, state.box, state.staff, state.chain]) {
        for (const record of records.values()) freeze(record);
      }
    }
    expect(await stateHash(state)).toBe(log.hash);
  }
});

it("shares the records that an event does not touch", () => {
  const entries = entriesOf(LOGS[0] as Log);
  const before = fold(EMPTY, entries);
  const note = { v: 1, kind: "note.added", station: "S001", incarnation: "7K2", seq: 9_000, staff: null, at_ms: 0 };
  const event = parse(JSON.stringify({ ...note, job: "J7K200003Z", body: { note: "a".repeat(64) } }));
  const after = fold(before, [{ incarnation: "7K2", seq: 9_000, event }]);
  expect(after.job.size).toBe(before.job.size + 1);
  expect(after.thing).toBe(before.thing);
  for (const [code, job] of before.job) expect(after.job.get(code)).toBe(job);
});

function freeze(value: unknown): void {
  if (typeof value !== "object" || value === null || Object.isFrozen(value)) return;
  Object.freeze(value);
  for (const inner of Object.values(value)) freeze(inner);
}
