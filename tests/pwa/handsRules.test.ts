/** Measured screws, waiting times, what keys mean. */
import { keyMeaning } from "@pwa/device/pedal.ts";
import { derive, type Fastener } from "@pwa/rules/procedure.ts";
import { MEASURE_TOLERANCE_UM, matchScrew, measuredFrom, readMm } from "@pwa/rules/screwMatch.ts";
import { clockText, isOver, leftS, type Timer } from "@pwa/rules/timer.ts";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DISPLAY, SHIPPED } from "./benchKit.ts";

const any = { head: null, drive: null };
const group = (id: string, length_um: number, head = "pan", drive = "cross 00"): Fastener => ({
  id, name: id, drive, thread: "M1.2", head, length_um, count: 1, pocket: 1, where: "somewhere",
}); // biome-ignore format: one line of values

describe("a measured screw", () => {
  it("is of the one group within the tolerance", () => {
    const match = matchScrew({ length_um: 4_300, ...any }, DISPLAY.fasteners);
    expect(match).toMatchObject({ kind: "one", fastener: { id: "latch" }, off_um: 100 });
  });

  it("between two groups is too close to call", () => {
    const match = matchScrew({ length_um: 1_850, ...any }, DISPLAY.fasteners);
    expect(match.kind === "close" && match.fasteners.map((f) => f.id)).toEqual(["power-plate", "chin"]);
  });

  it("is told apart by its driver where lengths are too close", () => {
    const um = 1_850;
    expect(matchScrew({ length_um: um, ...any }, DISPLAY.fasteners).kind).toBe("close");
    const match = matchScrew({ length_um: um, head: null, drive: "cross 00" }, DISPLAY.fasteners);
    expect(match).toMatchObject({ kind: "one", fastener: { id: "chin" } });
  });

  it("of one length is another group with another head: under the head and over all cannot be compared", () => {
    const both = [group("sunk", 3_000, "countersunk"), group("flat", 3_000)];
    expect(matchScrew({ length_um: 3_000, ...any }, both).kind).toBe("close");
    const match = matchScrew({ length_um: 3_000, head: "countersunk", drive: null }, both);
    expect(match).toMatchObject({ kind: "one", fastener: { id: "sunk" } });
  });

  it("that no group is near is of none, and the nearest is named", () => {
    expect(matchScrew({ length_um: 3_000, ...any }, DISPLAY.fasteners)).toMatchObject({
      kind: "none",
      nearest: { id: "ear" },
    });
    expect(matchScrew({ length_um: 3_000, head: "button", drive: null }, DISPLAY.fasteners)).toEqual({
      kind: "none",
      nearest: null,
    });
  });

  it("just within the tolerance counts, a micrometre beyond it does not", () => {
    const one = [group("a", 3_000)];
    expect(matchScrew({ length_um: 3_000 + MEASURE_TOLERANCE_UM, ...any }, one).kind).toBe("one");
    expect(matchScrew({ length_um: 3_000 + MEASURE_TOLERANCE_UM + 1, ...any }, one).kind).toBe("none");
  });

  it("is never given to one group while its true one may be another", () => {
    const lengths = fc.uniqueArray(fc.integer({ min: 800, max: 8_000 }), { minLength: 1, maxLength: 8 });
    const misread = fc.integer({ min: -MEASURE_TOLERANCE_UM, max: MEASURE_TOLERANCE_UM });
    fc.assert(
      fc.property(lengths, fc.nat(), misread, (all, which, off) => {
        const groups = all.map((um, n) => group(`g${n}`, um));
        const truth = groups[which % groups.length] as Fastener;
        const match = matchScrew({ length_um: truth.length_um + off, ...any }, groups);
        const named = match.kind === "one" ? [match.fastener] : match.kind === "close" ? match.fasteners : [];
        expect(named).toContain(truth);
      }),
    );
  });

  it.each([
    ["3.1", 3_100], ["3,1", 3_100], [" 2.95 mm ", 2_950], ["12", 12_000], ["0.805", 805],
    ["", null], ["0", null], ["3.1.2", null], ["-3", null], ["99", null], ["three", null],
  ])("is read from %j", (text, um) => expect(readMm(text)).toBe(um)); // biome-ignore format: a table

  it("has a way of measuring for every head of the shipped procedures", () => {
    for (const f of SHIPPED.flatMap((p) => p.fasteners)) expect(measuredFrom(f.head)).not.toBeNull();
    expect(measuredFrom("unheard of")).toBeNull();
  });
});

describe("a step that waits", () => {
  const timer: Timer = { job: "J", step: "warm", title: "Soften", started_at_ms: 1_000, wait_s: 60, told: false };

  it("is counted from when it was started", () => {
    expect(leftS(timer, 1_000)).toBe(60);
    expect(leftS(timer, 1_001)).toBe(60);
    expect(leftS(timer, 19_000)).toBe(42);
    expect(leftS(timer, 60_999)).toBe(1);
    expect(isOver(timer, 60_999)).toBe(false);
    expect(isOver(timer, 61_000)).toBe(true);
    expect(leftS(timer, 9_000_000)).toBe(0);
  });

  it("never has more to wait than was asked for, should the clock be set back", () => {
    expect(leftS(timer, 0)).toBe(60);
  });

  it.each([[0, "0:00"], [42, "0:42"], [60, "1:00"], [605, "10:05"]])("shows %i s as %s", (s, text) =>
    expect(clockText(s)).toBe(text)); // biome-ignore format: a table

  it("warms or cools in both shipped procedures, never on a way back", () => {
    for (const procedure of SHIPPED) {
      const waits = derive(procedure).filter((s) => s.wait_s !== null);
      expect(waits.slice(0, 2).map((s) => [s.id, s.wait_s])).toEqual([
        ["warm", 90],
        ["cool", 180],
      ]);
      expect(waits.filter((s) => s.id.endsWith("-back"))).toEqual([]);
    }
  });
});

describe("a key", () => {
  const key = (name: string, more = {}) => ({
    key: name, repeat: false, altKey: false, ctrlKey: false, metaKey: false, shiftKey: false, ...more,
  }); // biome-ignore format: one line of values

  it.each(["PageDown", "ArrowRight", "Enter", " "])("%j goes on when nothing has the focus", (name) =>
    expect(keyMeaning(key(name), "nothing")).toBe("on"),
  );

  it.each(["PageUp", "ArrowLeft"])("%s looks back", (name) => expect(keyMeaning(key(name), "nothing")).toBe("back"));

  it.each(["Enter", " "])("%j belongs to the button that has the focus", (name) =>
    expect(keyMeaning(key(name), "control")).toBeNull(),
  );

  it.each(["PageDown", "ArrowRight", "PageUp", "ArrowLeft", "Enter", " "])(
    "%j belongs to the field that has the focus",
    (name) => expect(keyMeaning(key(name), "field")).toBeNull(),
  );

  it("that is held down counts once, and with a modifier not at all", () => {
    expect(keyMeaning(key("PageDown", { repeat: true }), "nothing")).toBeNull();
    for (const held of ["altKey", "ctrlKey", "metaKey", "shiftKey"])
      expect(keyMeaning(key("ArrowRight", { [held]: true }), "nothing")).toBeNull();
  });

  it("of another kind means nothing", () => expect(keyMeaning(key("x"), "nothing")).toBeNull());
});
