import { drawingOf, type Shape } from "@pwa/rules/drawing.ts";
import { derive, type Procedure } from "@pwa/rules/procedure.ts";
import display from "@shared/procedures/quillet5-display.json";
import { describe, expect, test } from "vitest";

const DISPLAY = display as unknown as Procedure;
const shapesOf = (id: string, procedure = DISPLAY): readonly Shape[] | null => {
  const step = derive(procedure).find((s) => s.id === id);
  return step === undefined ? null : (drawingOf(procedure, step)?.shapes ?? null);
};

describe("the drawing of a step", () => {
  test("is its scene and what it adds", () => {
    const shapes = shapesOf("latch") ?? [];
    expect(shapes.slice(0, 3)).toEqual(DISPLAY.scenes?.latch?.shapes);
    expect(shapes.filter((s) => "spot" in s).length).toBe(2);
  });

  test("is none when none was written", () => {
    expect(shapesOf("off")).toBeNull();
    expect(shapesOf("prefit")).toBeNull();
    expect(shapesOf("final")).toBeNull();
  });

  test("is none when its scene is missing", () => {
    expect(shapesOf("latch", { ...DISPLAY, scenes: {} })).toBeNull();
  });

  test("comes back on the way out with its arrows turned round", () => {
    const arrow = (id: string) => (shapesOf(id) ?? []).flatMap((s) => ("arrow" in s ? [s.arrow] : []));
    const [there] = arrow("power");
    expect(there).toBeDefined();
    expect(arrow("power-back")).toEqual([[there?.[1], there?.[0]]]);
  });

  test("shows the cup on the way in alone, and where to press on the way back alone", () => {
    const words = (id: string) =>
      (shapesOf(id) ?? []).flatMap((s) => ("say" in s && s.say !== undefined ? [s.say] : []));
    expect(words("lift")).toContain("cup");
    expect(words("lift")).not.toContain("rail side first");
    expect(words("lift-back")).toContain("rail side first");
    expect(words("lift-back")).not.toContain("cup");
  });

  test("turns an arc round", () => {
    const arc: Shape = { arc: [50, 50, 20, 0, 60] };
    const turned = shapesOf("lift-back", {
      ...DISPLAY,
      in: DISPLAY.in.map((row) => (row.id === "lift" ? { ...row, drawing: { scene: "latch", shapes: [arc] } } : row)),
    });
    expect(turned?.at(-1)).toEqual({ arc: [50, 50, 20, 60, 0] });
  });

  test("of a closing step is its own, not that of the step it stands before", () => {
    const seal = shapesOf("seal") ?? [];
    expect(seal.some((s) => "line" in s && s.as === "seal")).toBe(true);
    expect(shapesOf("films")).toBeNull();
  });
});
