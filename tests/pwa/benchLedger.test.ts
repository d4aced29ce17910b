import {
  type Booking,
  bookings,
  groupsOf,
  inTray,
  LOOK_ALIKE_UM,
  longScrews,
  lookAlikes,
  lossFits,
  openConnectors,
  openGroups,
  takingBack,
} from "@pwa/rules/ledger.ts";
import { derive, type Fastener } from "@pwa/rules/procedure.ts";
import { fastenerLines, pockets, trayText } from "@pwa/views/ledger.ts";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { BRACKETS, DISPLAY, JOB, Play, SHIPPED } from "./benchKit.ts";

const stepOf = (id: string) =>
  derive(BRACKETS).find((s) => s.id === id) as NonNullable<ReturnType<typeof derive>[number]>;

describe("booking", () => {
  test("what comes out goes into its pocket and back from it", () => {
    expect(bookings(stepOf("bracket"), BRACKETS, {})).toEqual([
      { kind: "fastener.removed", group: "bracket-short", pocket: 2, count: 3 },
      { kind: "fastener.removed", group: "bracket-middle", pocket: 3, count: 1 },
      { kind: "fastener.removed", group: "bracket-long", pocket: 4, count: 1 },
    ]);
    expect(bookings(stepOf("base-back"), BRACKETS, { base: { out: 2 } })).toEqual([
      { kind: "fastener.returned", group: "base", pocket: 1, count: 2 },
    ]);
  });

  test("a screw that was missing at opening is neither booked out nor back", () => {
    const play = new Play(BRACKETS);
    play.do(stepOf("base"), { base: 1 });
    expect(play.job.ledger.base).toEqual({ out: 1 });
    play.doUntil("final");
    expect(play.job.ledger.base).toEqual({ out: 1, back: 1 });
    expect(openGroups(play.job.ledger)).toEqual([]);
  });

  test("a lost screw that was not replaced does not come back, one that was replaced does", () => {
    for (const [replaced, back] of [
      [0, 1],
      [1, 2],
    ] as const) {
      const play = new Play(BRACKETS);
      play.doUntil("liquid");
      play.write({
        kind: "fastener.lost",
        job: JOB,
        body: { group: "base", count: 1, what: "lost", why: "fell down", replaced },
      });
      play.doUntil("final");
      expect(play.job.ledger.base?.back).toBe(back);
      expect(openGroups(play.job.ledger)).toEqual([]);
    }
  });

  test("a step that moves screws over books them out and back again", () => {
    const step = derive(DISPLAY).find((s) => s.id === "ear-over");
    expect(bookings(step as NonNullable<typeof step>, DISPLAY, {}).map((b) => b.kind)).toEqual([
      "fastener.removed",
      "fastener.returned",
    ]);
  });
});

describe("taking back", () => {
  test("the last goes first, so that power is off before a cable is pulled", () => {
    const trial = derive(DISPLAY).find((s) => s.id === "trial-plug");
    const booked = bookings(trial as NonNullable<typeof trial>, DISPLAY, {});
    expect(takingBack(booked, {})[0]).toEqual({ kind: "connector.unplugged", connector: "battery" });
  });

  test("a screw lost meanwhile is not put back", () => {
    const booked: readonly Booking[] = [{ kind: "fastener.removed", group: "base", pocket: 1, count: 2 }];
    expect(takingBack(booked, { base: { out: 2, lost: 1 } })).toEqual([
      { kind: "fastener.returned", group: "base", pocket: 1, count: 1 },
    ]);
    expect(takingBack(booked, { base: { out: 2, lost: 2 } })).toEqual([]);
  });
});

test("at the hole of a short screw stands which longer one fits there too, on the way in to it only", () => {
  const play = new Play(DISPLAY);
  play.doUntil("shield-back");
  const lines = (id: string) => {
    const step = derive(DISPLAY).find((s) => s.id === id) as NonNullable<ReturnType<typeof derive>[number]>;
    return fastenerLines(play.job, DISPLAY, step).map((l) => [l.fastener.id, l.longer?.id ?? null]);
  };
  expect(lines("shield-back")).toEqual([["shield-long", null], ["shield-short", "shield-long"]]);
  expect(lines("plate-back")).toEqual([["power-plate", "shield-long"]]);
  expect(lines("shield")).toEqual([["shield-short", null], ["shield-long", null]]);
  expect(lines("latch-back")).toEqual([["latch", null]]);
}); // biome-ignore format: a row each

test("any walk of doing, taking back and losing ends at zero once it is walked to the end (fast-check)", () => {
  const moves = fc.array(
    fc.oneof(
      { weight: 5, arbitrary: fc.constant("do" as const) },
      fc.constant("back" as const),
      fc.constant("lose" as const),
      fc.constant("replace" as const),
    ),
    { maxLength: 60 },
  );
  fc.assert(
    fc.property(fc.constantFrom(BRACKETS, ...SHIPPED), moves, (procedure, path) => {
      const play = new Play(procedure);
      const history: { id: string; booked: readonly Booking[] }[] = [];
      const forward = (): void => {
        const step = play.open;
        if (step === null || step.id === "leftover") return;
        history.push({ id: step.id, booked: bookings(step, procedure, play.job.ledger) });
        play.do(step);
      };
      for (const move of path) {
        if (move === "do") forward();
        if (move === "back") {
          const last = history.pop();
          const step = derive(procedure).find((s) => s.id === last?.id);
          if (last === undefined || step === undefined) continue;
          play.book(step, takingBack(last.booked, play.job.ledger));
          play.write({ kind: "step.undone", job: JOB, body: { step: step.id } });
        }
        const held = openGroups(play.job.ledger)[0];
        if ((move === "lose" || move === "replace") && held !== undefined) {
          const replaced = move === "replace" ? 1 : 0;
          expect(lossFits(play.job.ledger[held.group], 1, replaced)).toBe(true);
          play.write({
            kind: "fastener.lost",
            job: JOB,
            body: { group: held.group, count: 1, what: "lost", why: "fell", replaced },
          });
        }
        for (const counters of Object.values(play.job.ledger)) expect(inTray(counters)).toBeGreaterThanOrEqual(0);
      }
      for (let n = 0; n < 80; n += 1) forward();
      expect(play.open?.id).toBe("leftover");
      expect(openGroups(play.job.ledger)).toEqual([]);
      expect(openConnectors(play.job.connectors)).toEqual([]);
    }),
    { numRuns: 60, seed: 20251125 },
  );
});

describe("losses", () => {
  test.each([
    [{ out: 2 }, 1, 0, true],
    [{ out: 2 }, 2, 0, true],
    [{ out: 2 }, 3, 0, false],
    [{ out: 2, back: 2 }, 1, 0, false],
    [{ out: 2, back: 2 }, 1, 1, true],
    [{ out: 2 }, 1, 2, false],
    [{ out: 2 }, 0, 0, false],
    [undefined, 1, 0, false],
  ])("%o: %i lost and %i replaced fits: %s", (counters, count, replaced, fits) => {
    expect(lossFits(counters, count, replaced)).toBe(fits);
  });
});

describe("look-alikes", () => {
  const pair = (one: Fastener, other: Fastener): string => `${one.id}/${other.id}`;

  test("1.2 and 1.7 mm of one drive and thread look alike, 1.7 and 3.1 mm do not, another drive never", () => {
    expect(lookAlikes(BRACKETS.fasteners).map(([a, b]) => pair(a, b))).toEqual(["bracket-short/bracket-middle"]);
  });

  test("just inside the limit is alike, at the limit it is not", () => {
    const [base] = BRACKETS.fasteners as [Fastener];
    const near = { ...base, id: "near", length_um: base.length_um + LOOK_ALIKE_UM - 1 };
    const far = { ...base, id: "far", length_um: base.length_um + LOOK_ALIKE_UM };
    expect(lookAlikes([base, near])).toHaveLength(1);
    expect(lookAlikes([base, far])).toHaveLength(0);
  });

  test("the step names what each group is mistaken for", () => {
    const play = new Play(BRACKETS);
    const lines = fastenerLines(play.job, BRACKETS, stepOf("bracket"));
    expect(lines.map((l) => [l.fastener.id, l.twins.map((t) => t.id)])).toEqual([
      ["bracket-short", ["bracket-middle"]],
      ["bracket-middle", ["bracket-short"]],
      ["bracket-long", []],
    ]);
  });

  test("closing warns of the longest screw by name, opening does not", () => {
    expect(longScrews(stepOf("bracket-back"), BRACKETS).map((f) => f.id)).toEqual(["bracket-long"]);
    expect(longScrews(stepOf("bracket"), BRACKETS)).toEqual([]);
    const shield = derive(DISPLAY).find((s) => s.id === "shield-back");
    expect(longScrews(shield as NonNullable<typeof shield>, DISPLAY).map((f) => f.id)).toEqual(["shield-long"]);
    expect(groupsOf(stepOf("bracket-back"), BRACKETS, "insert").map((f) => f.id)).toEqual([
      "bracket-long",
      "bracket-middle",
      "bracket-short",
    ]);
  });
});

describe("what the bench shows", () => {
  test("the tray in one line", () => {
    const play = new Play(BRACKETS);
    expect(trayText(play.job, BRACKETS)).toBe("In the tray: nothing");
    play.doUntil("cables");
    expect(trayText(play.job, BRACKETS)).toBe(
      "In the tray: 7 — base 2, bracket-short 3, bracket-middle 1, bracket-long 1",
    );
  });

  test("the pockets of a step are lit, whole rows are drawn", () => {
    const play = new Play(BRACKETS);
    const drawn = pockets(play.job, BRACKETS, stepOf("bracket"));
    expect(drawn).toHaveLength(8);
    expect(drawn.filter((p) => p.lit === "into").map((p) => p.pocket)).toEqual([2, 3, 4]);
  });
});
