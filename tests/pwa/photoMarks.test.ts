/** Marks beside photos: where they lie, how they are moved without dragging, and that they stand on the job. */
import "fake-indexeddb/auto";

import { act } from "@pwa/actions/act.ts";
import { markPhoto, photoTaken, unmarkPhoto } from "@pwa/actions/photo.ts";
import { state } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { drawAt, fieldsOf, jobOfPhoto, marksOf, nudged, placeOf } from "@pwa/views/photoMarks.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { newStation } from "./counterStation.ts";

const JOB = "J7K200002Y";
const PHOTO = "ab".repeat(32);
const WIDE = { width: 2000, height: 1000 };

describe("a mark that is being drawn", () => {
  test("a circle lies where it was pressed", () => {
    const circle = { shape: "circle", x_pm: 100, y_pm: 900, r_pm: 90 };
    expect(fieldsOf(drawAt("circle", 100, 900), WIDE)).toEqual(circle);
  });

  test.each([
    [100, 100],
    [900, 100],
    [100, 900],
    [900, 900],
  ])("an arrow's point lies at %i, %i and its shaft comes from the middle", (x, y) => {
    const arrow = fieldsOf(drawAt("arrow", x, y), WIDE);
    expect(placeOf({ to_x_pm: null, to_y_pm: null, ...arrow })).toEqual([x, y]);
    expect(Math.abs(arrow.x_pm - 500)).toBeLessThan(Math.abs(x - 500));
    expect(Math.abs(arrow.y_pm - 500)).toBeLessThan(Math.abs(y - 500));
    // As long in pixels to either side: 180 of the longer side's thousandths, at 45 degrees.
    expect((Math.abs(arrow.x_pm - x) * WIDE.width) / 1000).toBeCloseTo(0.18 * 2000 * Math.SQRT1_2, -1);
    expect((Math.abs(arrow.y_pm - y) * WIDE.height) / 1000).toBeCloseTo(0.18 * 2000 * Math.SQRT1_2, -1);
  });

  test("it never leaves the photo, however often a button is pressed", () => {
    let drawing = drawAt("arrow", 500, 500);
    for (const nudge of ["left", "up", "larger", "turn"] as const) {
      for (let n = 0; n < 99; n++) drawing = nudged(drawing, nudge);
      for (const value of Object.values(fieldsOf(drawing, WIDE)).filter((v) => typeof v === "number")) {
        expect(value).toBeGreaterThanOrEqual(0);
        expect(value).toBeLessThanOrEqual(1000);
        expect(Number.isInteger(value)).toBe(true);
      }
    }
    expect([drawing.x_pm, drawing.y_pm]).toEqual([0, 0]);
  });

  test("a step back undoes a step", () => {
    const drawing = drawAt("circle", 500, 500);
    expect(nudged(nudged(drawing, "left"), "right")).toEqual(drawing);
    expect(nudged(nudged(drawing, "larger"), "smaller")).toEqual(drawing);
  });
});

describe("marks on the record", () => {
  beforeEach(async () => {
    await newStation();
    const taken = { sha256: PHOTO, bytes: 1000, width: 2000, height: 1000 };
    await act(() => [photoTaken(JOB, "liquid", taken)]);
  });

  const marks = () => marksOf(state.value.job.get(JOB) as never, PHOTO);

  test("they are numbered in the order in which they were drawn, and found with their job", async () => {
    await markPhoto(JOB, PHOTO, { ...fieldsOf(drawAt("circle", 10, 20), WIDE), note: "rust" });
    await markPhoto(JOB, PHOTO, fieldsOf(drawAt("arrow", 800, 20), WIDE));
    expect(marks().map((m) => [m.number, m.shape, said(m.note)])).toEqual([
      [1, "circle", "rust"],
      [2, "arrow", null],
    ]);
    expect(jobOfPhoto(PHOTO)?.code).toBe(JOB);
    expect(jobOfPhoto("cd".repeat(32))).toBeNull();
  });

  test("one that is taken away is gone, and the others stay", async () => {
    const first = await markPhoto(JOB, PHOTO, fieldsOf(drawAt("circle", 10, 20), WIDE));
    await markPhoto(JOB, PHOTO, fieldsOf(drawAt("arrow", 800, 20), WIDE));
    await unmarkPhoto(JOB, PHOTO, first.ok ? first.value : "");
    expect(marks().map((m) => m.shape)).toEqual(["arrow"]);
  });
});
