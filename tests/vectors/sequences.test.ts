/**
 * TypeScript judges and folds random logs as Python did (tests/vectors/sequences.py).
 *
 * It reads the logs kept beside this file, or those of the file that TRAYMARK_SEQUENCES names.
 */
import { readFileSync } from "node:fs";
import { codesOf } from "@pwa/events/about.ts";
import { isEvent, parse } from "@pwa/events/envelope.ts";
import { fold, stateHash } from "@pwa/fold/fold.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import { describe, expect, it } from "vitest";

type Log = {
  readonly seed: number;
  readonly lines: readonly (readonly [incarnation: string, seq: number, text: string])[];
  readonly verdicts: readonly string[];
  readonly codes: readonly (readonly string[])[];
  readonly hash: string;
};

const file = process.env.TRAYMARK_SEQUENCES ?? new URL("sequences.ndjson", import.meta.url);
const LOGS = readFileSync(file, "utf8")
  .trimEnd()
  .split("\n")
  .map((line) => JSON.parse(line) as Log);

describe.each(LOGS)("the log of seed $seed", (log) => {
  const entries = log.lines.map(([incarnation, seq, text]) => ({ incarnation, seq, event: parse(text) }));

  it("is judged as in Python, event by event", () => {
    const judged = entries.map(({ event }) => {
      if (!isEvent(event)) return `${event.slug} ${event.pointer}`;
      return event.known ? "event" : "unknown";
    });
    const differing = log.verdicts.flatMap((python, i) =>
      judged[i] === python ? [] : [{ text: log.lines[i]?.[2].slice(0, 900), python, typescript: judged[i] }],
    );
    expect(differing).toEqual([]);
  });

  it("is about the same codes as in Python", () => {
    expect(entries.map(({ event }) => (isEvent(event) ? codesOf(event) : []))).toEqual(log.codes);
  });

  it("folds to the same state as in Python, even in two parts", async () => {
    const half = Math.floor(entries.length / 2);
    expect(await stateHash(fold(EMPTY, entries))).toBe(log.hash);
    expect(await stateHash(fold(fold(EMPTY, entries.slice(0, half)), entries.slice(half)))).toBe(log.hash);
  });
});
