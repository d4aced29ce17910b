/** What follows the tries of a new part, as the vectors say; and over all sequences of tries, as an oracle without the table says. */
import { deadUnits, nextTry, sharedFailures, type Tried, type TryAction } from "@pwa/rules/prefit.ts";
import prefit from "@shared/prefit.json";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly expect: string;
  readonly tries: readonly { readonly part: string; readonly action: TryAction; readonly failed: readonly string[] }[];
  readonly dead: readonly { readonly part: string; readonly failed: readonly string[] }[];
  readonly shared: readonly string[];
};

const all = vectors<Vector>("prefit", {
  keys: ["name", "expect", "comment", "tries", "dead", "shared"],
  expect: ["first", "reseat", "second_unit", "pass", "board"],
});

const tried = (part: string, action: TryAction, failed: readonly string[]): Tried => ({
  part,
  action,
  outcome: failed.length === 0 ? "pass" : "fail",
  failed,
});

describe("vectors", () => {
  it.each(all.map((vector) => [vector.name, vector] as const))("%s", (_, vector) => {
    const tries = vector.tries.map((t) => tried(t.part, t.action, t.failed));
    expect(nextTry(tries).next).toBe(vector.expect);
    expect(deadUnits(tries)).toEqual(vector.dead);
    expect(sharedFailures(tries)).toEqual(vector.shared);
  });
});

/** The tree as a technician tells it, walked try by try; knows nothing of the table. */
function oracle(tries: readonly Tried[]): { readonly next: string; readonly dead: readonly string[] } {
  const faultsOfUnit: Record<string, string> = {};
  let end = "first";
  let dead: string[] = [];
  for (let n = 0; n < tries.length; n += 1) {
    const { part, action, failed } = tries[n] as Tried;
    faultsOfUnit[part] = [...failed].sort().join("+");
    const bad = Object.keys(faultsOfUnit).filter((unit) => faultsOfUnit[unit] !== "");
    dead = [];
    if (failed.length === 0) {
      end = "pass";
      dead = bad;
    } else {
      const shares = bad.some(
        (unit) => unit !== part && failed.some((point) => (faultsOfUnit[unit] as string).split("+").includes(point)),
      );
      if (shares || n + 1 >= 9) end = "board";
      else end = action === "reseat" ? "second_unit" : "reseat";
    }
  }
  return { next: end, dead: dead.sort() };
}

const said = (tries: readonly Tried[]) => ({
  next: nextTry(tries).next,
  dead: deadUnits(tries)
    .map((unit) => unit.part)
    .sort(),
});

const FAILED: readonly (readonly string[])[] = [[], ["touch"], ["picture"], ["touch", "picture"]];
const ACTIONS: readonly TryAction[] = ["first", "reseat", "second_unit"];

/** Every sequence up to a length, in sense or not: two stations may have written what no one person would. */
function* sequences(steps: readonly Tried[], most: number, before: readonly Tried[] = []): Generator<readonly Tried[]> {
  yield before;
  if (before.length === most) return;
  for (const step of steps) yield* sequences(steps, most, [...before, step]);
}

const steps = (units: readonly string[]): readonly Tried[] =>
  units.flatMap((unit) => ACTIONS.flatMap((action) => FAILED.map((failed) => tried(unit, action, failed))));

describe("all sequences against the oracle", () => {
  it.each([
    [["A", "B"], 4],
    [["A", "B", "C"], 3],
  ] as const)("of units %j up to %i tries over two points", (units, most) => {
    let count = 0;
    const wrong: unknown[] = [];
    for (const tries of sequences(steps(units), most)) {
      count += 1;
      const [is, should] = [said(tries), oracle(tries)];
      if (is.next !== should.next || is.dead.join() !== should.dead.join()) wrong.push({ tries, is, should });
    }
    const each = units.length * ACTIONS.length * FAILED.length;
    expect(count).toBe(Array.from({ length: most + 1 }, (_, n) => each ** n).reduce((a, b) => a + b));
    expect(wrong.slice(0, 3)).toEqual([]);
  });

  it("of three units and up to nine tries, drawn at random", () => {
    const sequence = fc.array(fc.constantFrom(...steps(["A", "B", "C"])), { minLength: 4, maxLength: 9 });
    fc.assert(
      fc.property(sequence, (tries) => {
        expect(said(tries)).toEqual(oracle(tries));
      }),
      { numRuns: 3000 },
    );
  });

  it("reaches every row of the table on walks that follow it", () => {
    const reached = new Set<unknown>();
    const walk = (tries: readonly Tried[], unit: number): void => {
      const row = nextTry(tries);
      reached.add(row);
      expect(said(tries)).toEqual(oracle(tries));
      if (row.next === "pass" || row.next === "board") return;
      const now = row.next === "second_unit" ? unit + 1 : unit;
      for (const failed of [[], ["touch"], [`fault_${now}`]]) walk([...tries, tried(`U${now}`, row.next, failed)], now);
    };
    walk([], 1);
    expect(reached.size).toBe(prefit.rows.length);
  });
});
