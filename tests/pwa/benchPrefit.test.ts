import { unpluggedReason } from "@pwa/facts/prefit.ts";
import {
  actionOf,
  boardPoints,
  deadUnits,
  doubtfulUnits,
  MOST_TRIES,
  nextTry,
  outcomeOf,
  prefitPoints,
  type Tried,
} from "@pwa/rules/prefit.ts";
import { derive, type Procedure, type Step } from "@pwa/rules/procedure.ts";
import { describe, expect, test } from "vitest";
import { DISPLAY, Play, SHIPPED } from "./benchKit.ts";

const NONE: ReadonlySet<string> = new Set();
/** A unit's letter, or its letter and its lot. */
const row = (unit: string, action: Tried["action"], failed: readonly string[]): Tried => ({
  part: unit.charAt(0),
  lot: unit.slice(2) || "L1",
  action,
  outcome: failed.length > 0 ? "fail" : "pass",
  failed,
});

describe("the tree of tries", () => {
  const first = row("A", "first", ["touch"]);
  const reseat = row("A", "reseat", ["touch"]);
  test.each<[string, readonly Tried[], string]>([
    ["nothing tried: the first unit", [], "first"],
    ["a pass at once proves the part", [row("A", "first", [])], "pass"],
    ["a failure: reseat", [first], "reseat"],
    ["a pass after reseating proves the part", [first, row("A", "reseat", [])], "pass"],
    ["still failing: a second unit", [first, reseat], "second_unit"],
    ["the second unit passes", [first, reseat, row("B", "second_unit", [])], "pass"],
    [
      "the same point with two units of one lot: another lot",
      [first, reseat, row("B", "second_unit", ["touch"])],
      "other_lot",
    ],
    [
      "the same point with units of two lots: the board",
      [first, reseat, row("B/L2", "second_unit", ["display_image", "touch"])],
      "board",
    ],
    [
      "another fault with the second unit: reseat that one",
      [first, reseat, row("B", "second_unit", ["display_light"])],
      "reseat",
    ],
    [
      "another fault that stays: a third unit",
      [first, reseat, row("B", "second_unit", ["display_light"]), row("B", "reseat", ["display_light"])],
      "second_unit",
    ],
    [
      "a third unit, of another lot, that shares a fault with the first: the board",
      [
        first,
        reseat,
        row("B", "second_unit", ["display_light"]),
        row("B", "reseat", ["display_light"]),
        row("C/L2", "second_unit", ["touch"]),
      ],
      "board",
    ],
    [
      "what reseating cured on the first unit does not speak for the board",
      [first, row("A", "reseat", ["display_image"]), row("B", "second_unit", ["touch"])],
      "reseat",
    ],
  ])("%s", (_, tries, expected) => {
    expect(nextTry(tries, NONE).next).toBe(expected);
  });

  test("every path of passes, same faults and other faults ends within nine tries, and on the board only with proof", () => {
    const seenEnds = new Map<string, number>();
    const walk = (tries: readonly Tried[], unit: number): void => {
      const { next } = nextTry(tries, NONE);
      if (next === "pass" || next === "board" || next === "parts") {
        seenEnds.set(next, (seenEnds.get(next) ?? 0) + 1);
        expect(tries.length).toBeLessThanOrEqual(MOST_TRIES);
        if (next === "pass") expect(tries.at(-1)?.outcome).toBe("pass");
        if (next === "board") expect(boardPoints(tries, NONE).length).toBeGreaterThan(0);
        if (next === "parts") expect(tries).toHaveLength(MOST_TRIES);
        return;
      }
      if (next === "first") expect(tries).toHaveLength(0);
      if (next === "reseat") expect(tries.at(-1)?.action).not.toBe("reseat");
      if (next === "second_unit") expect(tries.at(-1)?.action).toBe("reseat");
      const now = next === "reseat" ? unit : unit + 1;
      const letter = "-ABCDEFGHI".charAt(now);
      const name = next === "other_lot" ? `${letter}/L2` : letter;
      for (const failed of [[], ["touch"], [`fault-${now}`]])
        walk(
          [
            ...tries,
            {
              ...row(name, next, failed),
              lot: next === "reseat" ? (tries.at(-1)?.lot ?? null) : row(name, next, failed).lot,
            },
          ],
          now,
        );
    };
    walk([], 0);
    for (const end of ["pass", "board", "parts"]) expect(seenEnds.get(end), end).toBeGreaterThan(10);
  });

  test("a unit is dead on arrival only once another one passed", () => {
    expect(deadUnits([first, reseat], NONE)).toEqual([]);
    expect(deadUnits([first, row("A", "reseat", [])], NONE)).toEqual([]);
    const passed = [first, row("A", "reseat", ["touch", "display_image"]), row("B", "second_unit", [])];
    expect(deadUnits(passed, NONE)).toEqual([{ part: "A", failed: ["touch", "display_image"] }]);
  });

  test("a unit that passed as well, at another station, is not judged dead", () => {
    const both = [first, reseat, row("B", "second_unit", []), row("C", "second_unit", [])];
    expect(deadUnits(both, NONE).map((unit) => unit.part)).toEqual(["A"]);
  });

  test("once a lead lifted a fault on the board, another unit is tried", () => {
    expect(actionOf(nextTry([first, reseat, row("B/L2", "second_unit", ["touch"])], NONE))).toBe("other_lot");
    expect(actionOf(nextTry([first], NONE))).toBe("reseat");
    expect(actionOf(nextTry([row("A", "first", [])], NONE))).toBeNull();
  });

  test("a unit that is set aside is doubtful until something tells; one that is to be reseated is not yet", () => {
    expect(doubtfulUnits([first], NONE)).toEqual([]);
    expect(doubtfulUnits([first, reseat], NONE).map((unit) => unit.part)).toEqual(["A"]);
    const board = [first, reseat, row("B/L2", "second_unit", ["touch"])];
    expect(doubtfulUnits(board, NONE).map((unit) => unit.part)).toEqual(["A", "B"]);
    expect(doubtfulUnits([first, reseat, row("B", "second_unit", [])], NONE)).toEqual([]);
  });

  test("what tells as well as another lot is offered where it can tell", () => {
    const oneLot = [first, reseat, row("B", "second_unit", ["touch"])];
    expect(nextTry(oneLot, NONE).or).toEqual(["known_good", "old_part"]);
    const old: Tried = { part: null, lot: null, action: "old_part", outcome: "fail", failed: ["touch"] };
    expect(nextTry([...oneLot, old], NONE)).toMatchObject({ next: "other_lot", or: ["known_good"] });
    expect(nextTry([...oneLot, old], new Set(["touch"])).next).toBe("board");
  });
});

describe("readings", () => {
  test("a try proves nothing while a point is unread or when none could be tested", () => {
    expect(outcomeOf(["pass", null])).toBeNull();
    expect(outcomeOf(["cannot", "cannot"])).toBeNull();
    expect(outcomeOf([])).toBeNull();
    expect(outcomeOf(["pass", "cannot"])).toBe("pass");
    expect(outcomeOf(["pass", "fail", "cannot"])).toBe("fail");
  });

  test("the points are the step's own, else the pre-fit points of what the part serves", () => {
    const [display, battery] = SHIPPED.map((p) => {
      const step = derive(p).find((s) => s.gate === "prefit");
      return prefitPoints(p, step as NonNullable<typeof step>);
    });
    expect(battery).toEqual(["charging", "battery_health"]);
    expect(display).toEqual(["display_image", "display_light", "touch", "multi_touch"]);
    const unnamed = { ...SHIPPED[0], turn: [] } as unknown as Procedure;
    expect(prefitPoints(unnamed, { points: null } as unknown as Step)).toEqual([
      "display_image",
      "display_light",
      "touch",
      "multi_touch",
      "front_camera",
      "proximity",
      "face",
      "ear_speaker",
      "button",
      "fingerprint",
    ]);
  });
});

test("a point whose connector is still out has its reason ready, others have none", () => {
  const play = new Play(DISPLAY);
  play.doUntil("prefit");
  expect(unpluggedReason(play.job, DISPLAY, "fingerprint")).toBe("Not plugged in: Button cable");
  expect(unpluggedReason(play.job, DISPLAY, "touch")).toBeNull();
  expect(unpluggedReason(play.job, DISPLAY, "wifi")).toBeNull();
});
