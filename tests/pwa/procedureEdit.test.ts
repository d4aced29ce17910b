/** Writing a procedure: what goes takes along what names it, ids never collide, drawings stay within whole units. */
import { readdirSync, readFileSync } from "node:fs";
import { handlesOf, kindOf, newShape, pulled, SHAPE_KINDS, withPoints } from "@pwa/rules/drawingEdit.ts";
import { derive, type Procedure, SECTIONS, writtenSteps } from "@pwa/rules/procedure.ts";
import { checkProcedure } from "@pwa/rules/procedureCheck.ts";
import { differences } from "@pwa/rules/procedureDifference.ts";
import {
  addConnector,
  addFastener,
  addPair,
  addScene,
  addStep,
  blankProcedure,
  changeStep,
  dropConnector,
  dropFastener,
  dropPair,
  dropScene,
  dropStep,
  freePocket,
  heated,
  moveStep,
  tidied,
  withMember,
} from "@pwa/rules/procedureEdit.ts";
import { slugOf } from "@pwa/rules/slug.ts";
import fc from "fast-check";
import { describe, expect, test } from "vitest";

const FOLDER = new URL("../../shared/procedures/", import.meta.url);
const SHIPPED: readonly Procedure[] = readdirSync(FOLDER).map((file) => {
  const { $schema: _, ...body } = JSON.parse(readFileSync(new URL(file, FOLDER), "utf8"));
  return body as Procedure;
});
const display = SHIPPED.find((p) => p.id === "quillet5-display") as Procedure;
const slugs = (procedure: Procedure): readonly string[] => checkProcedure(tidied(procedure)).map((f) => f.slug);

/** Anything a hand can do in the editor, on any of the shipped procedures. */
const edit = fc.oneof(
  fc.record({
    do: fc.constant("step" as const),
    section: fc.constantFrom(...SECTIONS),
    title: fc.string({ minLength: 1, maxLength: 12 }),
  }),
  fc.record({
    do: fc.constantFrom("group" as const, "plug" as const, "pair" as const, "view" as const),
    title: fc.string({ minLength: 1, maxLength: 12 }),
  }),
  fc.record({
    do: fc.constantFrom("-step" as const, "-group" as const, "-plug" as const, "-pair" as const, "-view" as const),
    at: fc.nat(),
  }),
  fc.record({
    do: fc.constant("move" as const),
    section: fc.constantFrom(...SECTIONS),
    at: fc.nat(),
    by: fc.constantFrom(-1 as const, 1 as const),
  }),
);
type Edit = typeof edit extends fc.Arbitrary<infer T> ? T : never;

const nth = <T>(list: readonly T[], at: number): T | undefined => list[at % Math.max(1, list.length)];

function edited(p: Procedure, e: Edit): Procedure {
  switch (e.do) {
    case "step":
      return addStep(p, e.section, e.title)[0];
    case "group":
      return addFastener(p, e.title);
    case "plug":
      return addConnector(p, e.title);
    case "pair":
      return addPair(p, e.title);
    case "view":
      return addScene(p, e.title)[0];
    case "-step":
      return dropStep(p, nth(writtenSteps(p), e.at)?.id ?? "");
    case "-group":
      return dropFastener(p, nth(p.fasteners, e.at)?.id ?? "");
    case "-plug":
      return dropConnector(p, nth(p.connectors, e.at)?.id ?? "");
    case "-pair":
      return dropPair(p, nth(p.pairs, e.at)?.id ?? "");
    case "-view":
      return dropScene(p, nth(Object.keys(p.scenes ?? {}), e.at) ?? "");
    case "move":
      return moveStep(p, e.section, p[e.section].length === 0 ? 0 : e.at % p[e.section].length, e.by);
  }
}

describe("any edits", () => {
  const edits = fc.tuple(fc.constantFrom(...SHIPPED), fc.array(edit, { maxLength: 12 }));

  test("leave no name that stands for nothing, and no id twice", () => {
    fc.assert(
      fc.property(edits, ([procedure, all]) => {
        const after = filled(all.reduce(edited, procedure));
        fc.pre(after.in.length > 0);
        const found = new Set(checkProcedure(after).map((f) => f.slug));
        expect(found).not.toContain("not-in-form");
        for (const slug of ["id-repeated", "group-unknown", "connector-unknown", "pair-unknown", "drawing-unknown"])
          expect(found).not.toContain(slug);
      }),
    );
  }, 30_000);

  test("never change what they were given", () => {
    fc.assert(
      fc.property(edits, ([procedure, all]) => {
        const before = JSON.stringify(procedure);
        all.reduce(edited, procedure);
        expect(JSON.stringify(procedure)).toBe(before);
      }),
    );
  });

  test("are told as differences exactly when something differs", () => {
    fc.assert(
      fc.property(edits, ([procedure, all]) => {
        const after = all.reduce(edited, procedure);
        const isSame = JSON.stringify(sorted(after)) === JSON.stringify(sorted(procedure));
        expect(differences(procedure, after).length === 0).toBe(isSame);
      }),
    );
  });
});

/** What the editor leaves to be typed, typed: without the form nothing further is looked at. */
function filled(p: Procedure): Procedure {
  const text = (typed: string): string => typed.trim() || "typed";
  const steps = (rows: Procedure["in"]): Procedure["in"] =>
    rows.map((row) => ({ ...row, title: text(row.title), say: row.say.length === 0 ? ["typed"] : row.say }));
  const scenes = Object.entries(p.scenes ?? {}).map(([id, scene]) => [id, { ...scene, say: text(scene.say) }] as const);
  return {
    ...p,
    fasteners: p.fasteners.map((f) => ({
      ...f,
      name: text(f.name),
      where: text(f.where),
      drive: text(f.drive),
      thread: text(f.thread),
    })),
    connectors: p.connectors.map((c) => ({
      ...c,
      name: text(c.name),
      serves: c.serves.length === 0 ? ["touch"] : c.serves,
    })),
    pairs: p.pairs.map((row) => ({ ...row, name: text(row.name), test: row.test || "touch" })),
    scenes: Object.fromEntries(scenes),
    in: steps(p.in),
    turn: steps(p.turn),
    closing: steps(p.closing).map((row) => ({ ...row, before: row.before || (p.in[0]?.id ?? "") })),
  };
}

/** As the differences see it: fasteners, connectors and pairs have no order that means anything. */
function sorted(p: Procedure): unknown {
  const byId = <T extends { readonly id: string }>(rows: readonly T[]): readonly T[] =>
    [...rows].sort((a, b) => (a.id < b.id ? -1 : 1));
  const scenes = Object.entries(p.scenes ?? {}).sort(([a], [b]) => (a < b ? -1 : 1));
  return { ...p, fasteners: byId(p.fasteners), connectors: byId(p.connectors), pairs: byId(p.pairs), scenes };
}

describe("a new procedure", () => {
  test("grows from nothing to a sound one by the editor's own means", () => {
    let p = blankProcedure("test-battery", "Battery", "Quillet 5");
    p = {
      ...p,
      part: { kind: "cell", name: "Cell", serves: ["battery"] },
      core: { ...p.core, kind: "cell", name: "Cell" },
    };
    p = addFastener(p, "Lid screws");
    p = addConnector(p, "Battery");
    p = {
      ...p,
      fasteners: p.fasteners.map((f) => ({ ...f, drive: "cross 00", thread: "M1.4", where: "Lid", count: 2 })),
      connectors: p.connectors.map((c) => ({ ...c, power: true as const, serves: ["battery"] })),
    };
    const say = (title: string, section: "in" | "turn", rest: object): void => {
      const [next, id] = addStep(p, section, title);
      p = changeStep(next, id, { say: [title], ...rest });
    };
    say("Open the lid", "in", { ops: [{ op: "remove", group: "lid-screws" }] });
    say("Look for liquid", "in", { gate: "liquid" });
    say("Isolate power", "in", { gate: "power", cautions: ["battery"], ops: [{ op: "unplug", connector: "battery" }] });
    say("Try the new one", "turn", { cautions: ["battery"], ops: [{ op: "plug", connector: "battery" }] });
    expect(slugs(p)).toContain("prefit-missing");
    say("Prove it", "turn", { gate: "prefit", points: ["touch"] });
    say("Isolate power again", "turn", {
      gate: "power", cautions: ["battery"], undoes: "try-the-new-one", ops: [{ op: "unplug", connector: "battery" }],
    }); // biome-ignore format: one row
    expect(slugs(p)).toEqual([]);
    expect(derive(p).map((s) => s.id)).toContain("open-the-lid-back");
  });

  test("gives ids that the ways back and the ends of every job do not have", () => {
    const [one, first] = addStep(display, "in", "Lift back");
    const [two, second] = addStep(one, "turn", "Final");
    const [, third] = addStep(two, "in", "Lift back");
    expect([first, second, third]).toEqual(["lift-back-2", "final-2", "lift-back-3"]);
    const [four] = addStep(display, "turn", "Lay back");
    expect(addStep(four, "in", "Lay")[1]).toBe("lay-2");
  });

  test("gives ids that events can name, the way back too, however long the title is", () => {
    const long = "Lift the upper cover of the lower left loudspeaker";
    const [one, first] = addStep(display, "in", long);
    const [, second] = addStep(one, "in", long);
    expect([first, second]).toEqual(["lift-the-upper-cover-of-the-lower-l", "lift-the-upper-cover-of-the-lower-2"]);
    for (const id of [first, second]) expect(`${id}-back`).toMatch(/^[a-z][a-z0-9_-]{0,39}$/);
    expect(slugOf("x".repeat(60), ["x".repeat(40)])).toBe(`${"x".repeat(38)}-2`);
  });

  test("has no heat without a wait, and keeps the wait that it had", () => {
    const heat = { where: "Rim", usual_c: 60 };
    const waitOf = (p: Procedure, id: string): unknown => writtenSteps(p).find((row) => row.id === id)?.wait_s;
    expect(waitOf(heated(display, "latch", heat), "latch")).toBe(60);
    expect(waitOf(heated(display, "warm", heat), "warm")).toBe(90);
    expect(waitOf(heated(display, "cool", undefined), "cool")).toBe(180);
    expect(slugs(heated(display, "off", undefined))).toEqual([]);
  });

  test("gives no id that every object has", () => {
    expect(addStep(display, "in", "Constructor")[1]).toBe("constructor-2");
  });

  test("offers the first pocket that is free", () => {
    expect(freePocket(display)).toBe(8);
    expect(freePocket(dropFastener(display, "shield-long"))).toBe(3);
  });
});

test("white space around words and members without a value are neither checked nor kept", () => {
  const typed = { ...display, title: "  Display ", core: { ...display.core, energy_mwh: undefined } };
  expect(tidied(typed as unknown as Procedure)).toEqual({ ...display, title: "Display" });
});

describe("differences", () => {
  test("say in words what a revision changes", () => {
    let after = {
      ...display,
      minutes: 25,
      fasteners: display.fasteners.map((f) => (f.id === "ear" ? { ...f, length_um: 2900 } : f)),
    };
    after = changeStep(after, "cables", { cautions: [] }) as typeof after;
    after = dropConnector(after, "button") as typeof after;
    expect(differences(display, after)).toEqual([
      { where: "The procedure", what: "changed", lines: [{ field: "Bench time", before: "35", after: "25" }] },
      { where: "Fasteners: Ear piece holder", what: "changed", lines: [{ field: "Length", before: "2.6 mm", after: "2.9 mm" }] },
      { where: "Connectors: Button cable", what: "gone", lines: [] },
      {
        where: "Way in: Unplug the three upper cables", what: "changed",
        lines: [
          { field: "Cautions", before: "Flat cable", after: "none" },
        ],
      },
      {
        where: "Way in: Free the lower cable", what: "changed",
        lines: [
          {
            field: "Operations",
            before: "take out 2 × End cover; lift off End cover; unplug Button cable",
            after: "take out 2 × End cover; lift off End cover",
          },
          { field: "Drawing", before: expect.stringContaining("5 shapes"), after: expect.stringContaining("4 shapes") },
        ],
      },
    ]); // biome-ignore format: a row each
  });

  test("say heat, solvent, the cell and what the whole needs in words", () => {
    const solvent = { what: "Remover", where: "Rim" };
    let after = heated(changeStep(display, "cables", { solvent }), "warm", undefined);
    after = changeStep(after, "latch", {
      ops: [{ op: "lift", what: "Battery", cell: true }],
      swollen: { say: ["Stop."] },
    });
    after = changeStep(after, "seal", { gate: "final" });
    after = withMember(withMember(withMember(after, "needs", ["Tape"]), "ask", ""), "recheck", ["touch"]);
    const lines = differences(display, after).flatMap((d) => d.lines.map((l) => [l.field, l.before, l.after]));
    expect(lines).toEqual([
      ["Used up", display.needs?.join(" / "), "Tape"],
      ["Whom to ask", display.ask, "nothing"],
      ["Tested again at the end", "nothing", "Touch"],
      ["Operations", "take out 2 × Latch screws", "lift off Battery, the battery's cell"],
      ["Beside a swollen cell", "nothing", "Stop."],
      ["Heat", "Glass edge on the tray side, usually 65 °C", "nothing"],
      ["Solvent", "nothing", "Remover: Rim"],
      ["Gate", "nothing", "whole test"],
    ]); // biome-ignore format: a row each
  });

  test("name one step as moved, not all that it passed", () => {
    const after = [0, 1, 2].reduce((p, at) => moveStep(p, "in", at, 1), display);
    expect(differences(display, after)).toEqual([{ where: "Way in: Read the charge", what: "moved", lines: [] }]);
  });
});

describe("drawing by hand", () => {
  const spot = fc.tuple(fc.integer({ min: 0, max: 600 }), fc.integer({ min: 0, max: 600 }));

  test("a shape stands where it was put, and its first point goes where it is pulled", () => {
    fc.assert(
      fc.property(fc.constantFrom(...SHAPE_KINDS), spot, spot, ({ value: kind }, put, to) => {
        const shape = newShape(kind, put, { group: "g", connector: "c" });
        expect(kindOf(shape)).toBe(kind);
        expect(handlesOf(shape)[0]).toEqual(put);
        const moved = pulled(shape, 0, to);
        expect(handlesOf(moved)[0]).toEqual(to);
        expect({ ...pulled(moved, 0, put) }).toEqual(shape);
      }),
    );
  });

  test("sizes stay whole and never vanish", () => {
    fc.assert(
      fc.property(fc.constantFrom("rect" as const, "circle" as const, "arc" as const), spot, spot, (kind, put, to) => {
        const [[x, y], [fx, fy]] = handlesOf(pulled(newShape(kind, put, { group: "g", connector: "c" }), 1, to)) as [
          [number, number],
          [number, number],
        ];
        for (const n of [x, y, fx, fy]) expect(Number.isInteger(n)).toBe(true);
        expect(fx - x).toBeGreaterThanOrEqual(2);
      }),
    );
  });

  test("a line gains and loses points, and keeps two", () => {
    const line = newShape("line", [10, 10], { group: "", connector: "" });
    expect(handlesOf(withPoints(line, 1))).toHaveLength(3);
    expect(handlesOf(withPoints(line, -1))).toHaveLength(2);
  });
});
