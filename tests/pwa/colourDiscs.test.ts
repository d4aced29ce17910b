/** The discs of a colour reading stay within the photo, and each press of a button moves them. */
import { discAt, FIRST_DISCS, nudged, RADIUS_LEAST_PM, RADIUS_MOST_PM, resized } from "@pwa/rules/discs.ts";
import { describe, expect, test } from "vitest";

const WIDE = { width: 2048, height: 1024 };
const { indicator } = FIRST_DISCS;

describe("a disc", () => {
  test("is put where the photo is pressed, in thousandths of its sides", () => {
    expect(discAt(indicator, WIDE, 512, 256)).toEqual({ x_pm: 250, y_pm: 250, r_pm: 20 });
  });
  test("stays on the photo when it is dragged out", () => {
    expect(discAt(indicator, WIDE, -40, 5000)).toEqual({ x_pm: 0, y_pm: 1000, r_pm: 20 });
  });
  test("goes as far down as across on a photo that is not square", () => {
    const moved = nudged(nudged(indicator, WIDE, 1, 0, 10), WIDE, 0, 1, 10);
    expect((moved.x_pm - indicator.x_pm) * WIDE.width).toBe((moved.y_pm - indicator.y_pm) * WIDE.height);
  });
  test("moves by each press, however fine the step", () => {
    expect(nudged(indicator, WIDE, -1, 0, 0.1).x_pm).toBe(indicator.x_pm - 1);
  });
  test("stops at the edges", () => {
    expect(nudged({ ...indicator, x_pm: 0, y_pm: 1000 }, WIDE, -1, 1, 16)).toMatchObject({ x_pm: 0, y_pm: 1000 });
  });
  test("comes by its buttons to every size between the smallest and the largest", () => {
    let disc = indicator;
    for (let n = 0; n < 50; n += 1) disc = resized(disc, true);
    expect(disc.r_pm).toBe(RADIUS_MOST_PM);
    for (let n = 0; n < 50; n += 1) {
      const smaller = resized(disc, false);
      expect(smaller.r_pm < disc.r_pm || disc.r_pm === RADIUS_LEAST_PM).toBe(true);
      disc = smaller;
    }
    expect(disc.r_pm).toBe(RADIUS_LEAST_PM);
  });
});
