/** TypeScript's fold arrives at what the vectors say (F5, F6). */
import { type Entry, fold, stateHash } from "@pwa/fold/fold.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import { describe, expect, it } from "vitest";
import { differences, type Expected, entryOf, findingsOf, plain, type Row } from "./foldRuns.ts";
import { vectors } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly expect: string;
  readonly events: readonly Row[];
  readonly state: Expected;
  readonly hash: string;
};

const FINDINGS = [
  "stage-not-allowed",
  "worked-after-stop",
  "ledger-open",
  "connector-open",
  "box-sealed",
  "box-misfit",
  "pressed-after-unsafe",
  "unsafe-place",
  "unsafe-handed-over",
] as const;

const ALL = vectors<Vector>("fold", {
  keys: ["name", "spec", "expect", "comment", "events", "state", "hash"],
  expect: ["clean", ...FINDINGS],
});

describe.each(ALL)("$name", (vector) => {
  const entries = vector.events.map(entryOf);

  it("reaches the state, the findings and the hash of the vector", async () => {
    const state = fold(EMPTY, entries);
    expect(differences(state, vector.state)).toEqual([]);
    expect(findingsOf(state)).toEqual(vector.expect === "clean" ? [] : [vector.expect]);
    expect(await stateHash(state)).toBe(vector.hash);
  });

  it("does not depend on the order of arrival once ordered by position", async () => {
    const placed = entries.map((entry, position) => ({ position, entry }));
    for (const arrived of [[...placed].reverse(), shuffled([...placed, ...placed], vector.name.length)]) {
      const ordered = [...arrived].sort((a, b) => a.position - b.position).map((p) => p.entry);
      expect(await stateHash(fold(EMPTY, ordered))).toBe(vector.hash);
    }
  });

  it("resumes from any point and leaves the earlier state unchanged", async () => {
    for (let at = 0; at <= entries.length; at += 1) {
      const base = fold(EMPTY, entries.slice(0, at));
      const before = plain(base);
      expect(await stateHash(fold(base, entries.slice(at)))).toBe(vector.hash);
      expect(plain(base)).toBe(before);
    }
  });
});

it("reports a state that differs", () => {
  const text = { incarnation: "7K2", seq: 1, text: "no event" };
  const state = fold(EMPTY, [entryOf(text)]);
  expect(differences(state, { "chain/7K2": { seq: 1 }, "job/J1": null })).toEqual([]);
  expect(differences(state, { "chain/7K2": { seq: 2 } })).toHaveLength(1);
  expect(differences(state, { "chain/7K2": null })).toHaveLength(1);
  expect(differences(state, { "chain/7K3": { seq: 1 } })).toHaveLength(1);
});

/** An order that looks random and is the same in each run: Park and Miller's generator (CACM 31, 1988). */
function shuffled<T extends { readonly position: number; readonly entry: Entry }>(items: T[], seed: number): T[] {
  let state = seed + 1;
  const keyed = items.map((item) => {
    state = (state * 16_807) % 2_147_483_647;
    return { item, key: state };
  });
  return keyed.sort((a, b) => a.key - b.key).map((k) => k.item);
}
