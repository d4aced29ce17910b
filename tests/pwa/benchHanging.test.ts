/** What hangs on its cables, step by step, on every procedure that comes with the program. */
import { readdirSync, readFileSync } from "node:fs";
import { hanging } from "@pwa/rules/hanging.ts";
import { derive, type Procedure, type Step } from "@pwa/rules/procedure.ts";
import { describe, expect, test } from "vitest";
import { BRACKETS } from "./benchKit.ts";

const FOLDER = new URL("../../shared/procedures/", import.meta.url);
const SHIPPED: readonly Procedure[] = readdirSync(FOLDER).map((file) =>
  JSON.parse(readFileSync(new URL(file, FOLDER), "utf8")),
);
const named = (id: string): Procedure => SHIPPED.find((p) => p.id === id) as Procedure;

/** The ids of the steps during which something hangs, the whole walk through. */
function hangsAt(procedure: Procedure): readonly string[] {
  const steps = derive(procedure);
  return steps.flatMap((step, place) => {
    const done = new Set(steps.slice(0, place).map((s) => s.id));
    return hanging(procedure, done, step).length > 0 ? [step.id] : [];
  });
}

describe("a display on its cables", () => {
  test("hangs from when it is swung open until it is set aside, and again until it is closed", () => {
    expect(hangsAt(named("quillet5-display"))).toEqual([
      ...["lift", "cool", "liquid", "plate", "power", "shield", "cables", "chin", "apart"],
      ...["apart-back", "chin-back", "cables-back", "shield-back", "power-back", "plate-back", "feel", "seal", "lift-back"],
    ]); // biome-ignore format: the way in, the way out
  });

  test("that is never set aside hangs all the time the device is open", () => {
    const steps = derive(named("quillet5-battery")).map((s) => s.id);
    const open = steps.slice(steps.indexOf("lift"), steps.indexOf("lift-back") + 1);
    expect(hangsAt(named("quillet5-battery"))).toEqual(open);
  });

  test("that stands against the stop for its trial hangs there too, to the last cable", () => {
    const trial = ["trial-plug", "prefit", "trial-power", "trial-unplug"];
    for (const id of ["thrumbold-plank4-display", "tarnlight2-rear-glass"]) {
      expect(hangsAt(named(id))).toEqual(expect.arrayContaining(trial));
      expect(hangsAt(named(id))).not.toContain("films");
    }
  });

  test.each(SHIPPED.map((p) => [p.id, p] as const))("%s: has its own limit at every such step", (_, procedure) => {
    const steps = derive(procedure);
    const limit = steps.flatMap((s) => s.ops).find((op) => "angle_max_deg" in op);
    const shown = steps.flatMap((step, place) =>
      hanging(procedure, new Set(steps.slice(0, place).map((s) => s.id)), step),
    );
    expect(shown.length).toBeGreaterThan(5);
    for (const h of shown)
      expect(h).toEqual({
        what: limit && "what" in limit ? limit.what : "",
        degrees: limit && "angle_max_deg" in limit ? limit.angle_max_deg : 0,
      });
  });

  test("of a stopped job hangs until it is closed, also where the end of the walk was never reached", () => {
    const procedure = named("quillet5-display");
    const step = (id: string): Step => derive(procedure).find((s) => s.id === id) as Step;
    const done = new Set(["charge", "off", "tray", "tape", "latch", "warm", "lift", "cool", "liquid", "plate"]);
    expect(hanging(procedure, done, step("plate-back"))).toEqual([{ what: "Display", degrees: 75 }]);
    expect(hanging(procedure, new Set([...done, "plate-back", "lift-back"]), step("latch-back"))).toEqual([]);
  });

  test("without a limit is nothing to speak of", () => {
    expect(hangsAt(BRACKETS)).toEqual([]);
  });
});
