/** rules/battery.ts: what a failed test makes of a part with a battery, and energy as it is typed. */
import { cautionWhenFailed, hasBattery, isUnsafeBattery, MOST_MWH, readWattHours } from "@pwa/rules/battery.ts";
import { testPoints } from "@pwa/tables/testPoints.ts";
import { enums, kinds } from "@pwa/tables.ts";
import { describe, expect, test } from "vitest";

const CAUTIONS = enums.shipping_caution as readonly string[];

test("every caution but none has a battery, and two of them are unsafe", () => {
  expect(CAUTIONS.filter(hasBattery)).toEqual(CAUTIONS.filter((c) => c !== "none"));
  expect(CAUTIONS.filter(isUnsafeBattery)).toEqual(["battery_failed", "battery_damaged"]);
  expect([hasBattery(null), isUnsafeBattery(null)]).toEqual([false, false]);
});

describe("a part that is dead on arrival", () => {
  const serving = Object.keys(testPoints).filter((p) => testPoints[p]?.serves.includes("battery"));
  const others = Object.keys(testPoints).filter((p) => !serving.includes(p));
  test("there are points that a battery serves, and others", () => {
    expect(serving).toContain("battery_health");
    expect(others).toContain("touch");
  });
  test("a loose cell failed, whatever failed with it", () => {
    for (const failed of [[], ["touch"], ["battery_health"]])
      expect(cautionWhenFailed("battery_loose", failed)).toBe("battery_failed");
  });
  test("what holds a battery failed by it only when a point failed that a battery serves", () => {
    for (const point of serving) expect(cautionWhenFailed("battery_inside", [point])).toBe("battery_failed");
    for (const point of others) expect(cautionWhenFailed("battery_inside", [point])).toBeNull();
    expect(cautionWhenFailed("battery_inside", ["touch", "battery_health"])).toBe("battery_failed");
    expect(cautionWhenFailed("battery_inside", [])).toBeNull();
  });
  test("without a battery, or with one that is known to be unsafe, nothing changes", () => {
    for (const caution of [null, "none", "battery_failed", "battery_damaged"])
      expect(cautionWhenFailed(caution, ["battery_health"])).toBeNull();
  });
});

describe("watt-hours are read digit by digit", () => {
  test.each([
    ["11.55", 11_550],
    ["11,55", 11_550],
    [" 7.4 ", 7_400],
    ["20", 20_000],
    ["20.010", 20_010],
    ["0.001", 1],
    ["4.35", 4_350],
    ["1000", MOST_MWH],
  ])("%s Wh", (typed, mwh) => expect(readWattHours(typed)).toBe(mwh));
  test.each(["", "0", "0.000", "1000.001", "11.5555", "11.", ".5", "-3", "1e3", "3 Wh", "11.5.5"])(
    "%s is none",
    (typed) => expect(readWattHours(typed)).toBeNull(),
  );
  test("the most is that of the event", () => {
    expect(kinds["part.received"]?.fields["energy_mwh?"]).toBe(`int(0,${MOST_MWH})`);
  });
});
