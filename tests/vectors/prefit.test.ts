/** What follows the tries of a new part, as the vectors say; and over all sequences of tries, as an oracle without the table says. */
import { boardPoints, deadUnits, doubtfulUnits, nextTry, type Tried, type TryAction } from "@pwa/rules/prefit.ts";
import prefit from "@shared/prefit.json";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Units = readonly { readonly part: string; readonly failed: readonly string[] }[];
type Vector = {
  readonly name: string;
  readonly expect: string;
  readonly worked: readonly string[];
  readonly tries: readonly {
    readonly part?: string;
    readonly lot?: string;
    readonly action: TryAction;
    readonly failed: readonly string[];
  }[];
  readonly dead: Units;
  readonly doubtful: Units;
  readonly board: readonly string[];
};

const all = vectors<Vector>("prefit", {
  keys: ["name", "expect", "comment", "worked", "tries", "dead", "doubtful", "board"],
  expect: [...Object.keys(prefit.actions), "pass", "board", "parts"],
});

type Unit = { readonly part: string | null; readonly lot: string | null };
const tried = ({ part, lot }: Unit, action: TryAction, failed: readonly string[]): Tried => ({
  part,
  lot,
  action,
  outcome: failed.length === 0 ? "pass" : "fail",
  failed,
});

describe("vectors", () => {
  it.each(all.map((vector) => [vector.name, vector] as const))("%s", (_, vector) => {
    const before = new Set(vector.worked);
    const tries = vector.tries.map((t) => tried({ part: t.part ?? null, lot: t.lot ?? null }, t.action, t.failed));
    expect(nextTry(tries, before).next).toBe(vector.expect);
    expect(deadUnits(tries, before)).toEqual(vector.dead);
    expect(doubtfulUnits(tries, before)).toEqual(vector.doubtful);
    expect(boardPoints(tries, before)).toEqual(vector.board);
  });
});

const GOOD: Unit = { part: null, lot: null };
const OLD: Unit = { part: null, lot: null };
const WORKED = new Set(["touch"]);

type Said = { readonly next: string; readonly dead: readonly string[]; readonly doubtful: readonly string[] };

/** The rule as a technician explains it: what is on the bench by now, and what it says about the board. Ignores the table. */
function oracle(tries: readonly Tried[]): Said {
  const unit = new Map<string, { lot: string | null; faults: readonly string[] }>();
  const proof = new Map<string, readonly string[]>();
  for (const { action, part, lot, failed } of tries) {
    if (action === "known_good" || action === "old_part") proof.set(action, failed);
    else unit.set(part as string, { lot, faults: failed });
  }
  const bad = [...unit].filter(([, held]) => held.faults.length > 0);
  const boardWorks = (point: string) => [...proof.values()].some((failed) => !failed.includes(point));
  const spokenAgainst = bad.filter(([, held]) => held.faults.some(boardWorks)).map(([name]) => name);
  const end = (next: string, dead: readonly string[] = []): Said => ({
    next,
    dead: [...dead].sort(),
    doubtful: bad
      .map(([name]) => name)
      .filter((name) => !dead.includes(name) && !(next === "reseat" && name === tries.at(-1)?.part))
      .sort(),
  });
  const last = tries.at(-1);
  if (last === undefined) return end("first");
  const crosswise = last.action === "known_good" || last.action === "old_part";
  const isOver = tries.length >= 9;
  if (last.failed.length === 0) {
    if (!crosswise)
      return end(
        "pass",
        bad.map(([name]) => name),
      );
    return end(isOver ? "parts" : "other_lot", spokenAgainst);
  }
  let oneLot = false;
  for (const point of last.failed.filter((p) => !boardWorks(p))) {
    const goodFails = proof.get("known_good")?.includes(point) === true;
    const oldFails = proof.get("old_part")?.includes(point) === true && WORKED.has(point);
    const lots = bad
      .filter(([name, held]) => held.faults.includes(point) && (crosswise || name !== last.part))
      .map(([, held]) => held.lot);
    if (crosswise) {
      const speaks = last.action === "known_good" || WORKED.has(point);
      const other = last.action === "known_good" ? oldFails : goodFails;
      if ((speaks && (lots.length > 0 || other)) || (other && WORKED.has(point))) return end("board");
      continue;
    }
    if (goodFails || oldFails || lots.some((lot) => lot !== null && last.lot !== null && lot !== last.lot))
      return end("board");
    oneLot ||= lots.length > 0;
  }
  if (isOver) return end("parts", spokenAgainst);
  if (crosswise && bad.some(([, held]) => held.faults.some((p) => !last.failed.includes(p))))
    return end("other_lot", spokenAgainst);
  if (last.action === "old_part" || oneLot) return end("other_lot");
  return end(last.action === "reseat" ? "second_unit" : "reseat");
}

const said = (tries: readonly Tried[]): Said => {
  const names = (units: Units) => units.map((unit) => unit.part).sort();
  return {
    next: nextTry(tries, WORKED).next,
    dead: names(deadUnits(tries, WORKED)),
    doubtful: names(doubtfulUnits(tries, WORKED)),
  };
};

const FAILED: readonly (readonly string[])[] = [[], ["touch"], ["picture"], ["touch", "picture"]];
const A: Unit = { part: "A", lot: "L1" };
const B: Unit = { part: "B", lot: "L1" };
const C: Unit = { part: "C", lot: "L2" };
const D: Unit = { part: "D", lot: null };

/** Every sequence up to a length, sensible or not: two stations may have written what no single person would. */
function* sequences(steps: readonly Tried[], most: number, before: readonly Tried[] = []): Generator<readonly Tried[]> {
  yield before;
  if (before.length === most) return;
  for (const step of steps) yield* sequences(steps, most, [...before, step]);
}

const steps = (units: readonly Unit[], actions: readonly TryAction[]): readonly Tried[] => [
  ...units.flatMap((unit) => actions.flatMap((action) => FAILED.map((failed) => tried(unit, action, failed)))),
  ...FAILED.flatMap((failed) => [tried(GOOD, "known_good", failed), tried(OLD, "old_part", failed)]),
];

describe("all sequences against the oracle", () => {
  it.each([
    ["two lots", steps([A, C], ["first", "reseat"]), 3],
    ["four units", steps([A, B, C, D], ["other_lot"]), 3],
  ] as const)("of %s, known-good unit and old part, over two points", (_, all, most) => {
    let count = 0;
    const wrong: unknown[] = [];
    for (const tries of sequences(all, most)) {
      count += 1;
      const [is, should] = [said(tries), oracle(tries)];
      if (JSON.stringify(is) !== JSON.stringify(should)) wrong.push({ tries, is, should });
    }
    expect(count).toBe(Array.from({ length: most + 1 }, (_, n) => all.length ** n).reduce((a, b) => a + b));
    expect(wrong.slice(0, 3)).toEqual([]);
  });

  it("of four units and up to nine tries, drawn at random", () => {
    const some = steps([A, B, C, D], ["first", "reseat", "second_unit", "other_lot"]);
    const sequence = fc.array(fc.constantFrom(...some), { minLength: 4, maxLength: 9 });
    fc.assert(
      fc.property(sequence, (tries) => {
        expect(said(tries)).toEqual(oracle(tries));
      }),
      { numRuns: 3000 },
    );
  });

  it("never blames the board for units of one lot alone", () => {
    const some = steps([A, B, { part: "E", lot: "L1" }], ["first", "reseat", "second_unit", "other_lot"]);
    const units = some.filter((t) => t.part !== null);
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...units), { maxLength: 9 }), (tries) => {
        expect(nextTry(tries, WORKED).next).not.toBe("board");
      }),
      { numRuns: 2000 },
    );
  });

  it("reaches every row of the table in sequences that follow it", () => {
    const reached = new Set<unknown>();
    const FRESH: readonly TryAction[] = ["first", "second_unit", "other_lot"];
    const walk = (tries: readonly Tried[], unit: number, lot: string): void => {
      const row = nextTry(tries, WORKED);
      reached.add(row);
      expect(said(tries)).toEqual(oracle(tries));
      const { next } = row;
      if (next === "pass" || next === "board" || next === "parts") return;
      for (const action of [next, ...(row.or ?? [])]) {
        const now = FRESH.includes(action) ? unit + 1 : unit;
        const from = action === "other_lot" ? `L${now}` : FRESH.includes(action) ? "L1" : lot;
        const part = { part: `U${now}`, lot: from };
        const which = action === "known_good" ? GOOD : action === "old_part" ? OLD : part;
        for (const failed of [[], ["touch"], [tries.length > 3 ? `fault_${now}` : "picture"]])
          walk([...tries, tried(which, action, failed)], now, from);
      }
    };
    walk([], 0, "L1");
    expect(reached.size).toBe(prefit.rows.length);
  });
});
