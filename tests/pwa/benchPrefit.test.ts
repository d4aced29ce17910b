import {
  actionOf,
  deadUnits,
  MOST_TRIES,
  nextTry,
  outcomeOf,
  prefitPoints,
  sharedFailures,
  type Tried,
} from "@pwa/rules/prefit.ts";
import { derive, type Procedure, type Step } from "@pwa/rules/procedure.ts";
import { unpluggedReason } from "@pwa/views/prefit.ts";
import { describe, expect, test } from "vitest";
import { DISPLAY, Play, SHIPPED } from "./benchKit.ts";

const row = (part: string, action: Tried["action"], failed: readonly string[]): Tried => ({
  part,
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
    ["the same point with two units: the board", [first, reseat, row("B", "second_unit", ["touch"])], "board"],
    [
      "one shared point of several is enough for the board",
      [first, reseat, row("B", "second_unit", ["display_image", "touch"])],
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
      "a third unit that shares a fault with the first: the board",
      [
        first,
        reseat,
        row("B", "second_unit", ["display_light"]),
        row("B", "reseat", ["display_light"]),
        row("C", "second_unit", ["touch"]),
      ],
      "board",
    ],
    [
      "what reseating cured on the first unit does not speak for the board",
      [first, row("A", "reseat", ["display_image"]), row("B", "second_unit", ["touch"])],
      "reseat",
    ],
  ])("%s", (_, tries, expected) => {
    expect(nextTry(tries).next).toBe(expected);
  });

  test("every path of passes, same faults and other faults ends in a pass or on the board within nine tries", () => {
    const seenEnds = new Map<string, number>();
    const walk = (tries: readonly Tried[], unit: number): void => {
      const { next } = nextTry(tries);
      if (next === "pass" || next === "board") {
        seenEnds.set(next, (seenEnds.get(next) ?? 0) + 1);
        expect(tries.length).toBeLessThanOrEqual(MOST_TRIES);
        if (next === "pass") expect(tries.at(-1)?.outcome).toBe("pass");
        if (next === "board") expect(sharedFailures(tries).length > 0 || tries.length === MOST_TRIES).toBe(true);
        return;
      }
      if (next === "first") expect(tries).toHaveLength(0);
      if (next === "reseat") expect(tries.at(-1)?.action).not.toBe("reseat");
      if (next === "second_unit") expect(tries.at(-1)?.action).toBe("reseat");
      const now = next === "second_unit" ? unit + 1 : unit;
      for (const failed of [[], ["touch"], [`fault-${now}`]]) walk([...tries, row(`U${now}`, next, failed)], now);
    };
    walk([], 1);
    expect(seenEnds.get("pass")).toBeGreaterThan(10);
    expect(seenEnds.get("board")).toBeGreaterThan(10);
  });

  test("a unit is dead on arrival only once another one passed", () => {
    expect(deadUnits([first, reseat])).toEqual([]);
    expect(deadUnits([first, row("A", "reseat", [])])).toEqual([]);
    expect(deadUnits([first, row("A", "reseat", ["touch", "display_image"]), row("B", "second_unit", [])])).toEqual([
      { part: "A", failed: ["touch", "display_image"] },
    ]);
  });

  test("a unit that passed as well, at another station, is not judged dead", () => {
    const both = [first, reseat, row("B", "second_unit", []), row("C", "second_unit", [])];
    expect(deadUnits(both).map((unit) => unit.part)).toEqual(["A"]);
  });

  test("once a lead lifted a fault on the board, another unit is tried", () => {
    expect(actionOf(nextTry([first, reseat, row("B", "second_unit", ["touch"])]))).toBe("second_unit");
    expect(actionOf(nextTry([first]))).toBe("reseat");
    expect(actionOf(nextTry([row("A", "first", [])]))).toBeNull();
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
