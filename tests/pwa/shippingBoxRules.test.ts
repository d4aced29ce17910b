/** rules/boxes.ts: what fits, over every combination that matters; sealing; shipping; energy. */
import {
  type BoxFacts,
  boxCaution,
  energyOf,
  fits,
  leavesTo,
  MOST_IN_BOX,
  maySeal,
  mayShip,
  type PlaceFacts,
  SMALL_LIMITS,
  showsSmallLimits,
  type ThingFacts,
} from "@pwa/rules/boxes.ts";
import { describe, expect, test } from "vitest";

const BOX: BoxFacts = { code: "B7K2000010", supplier: "mill", purpose: "credit", opened: 1, sealed: null, count: 0 };
const CORE: ThingFacts = {
  code: "C7K2000020",
  name: "Display",
  supplier: "mill",
  purpose: "credit",
  verdict: null,
  shipping_caution: "none",
};
const DESK: PlaceFacts = { kind: "at", to: "shipping" };
const OTHER_BOX: PlaceFacts = { kind: "at", to: "B7K2000099" };
const PURPOSES = ["credit", "doa", "recycling", "battery"];

describe("a core fits only a box for its own supplier and purpose", () => {
  for (const boxPurpose of PURPOSES) {
    for (const corePurpose of PURPOSES) {
      for (const supplier of ["mill", "quarry"]) {
        const expected =
          supplier !== "mill" ? "box-wrong-supplier" : boxPurpose === corePurpose ? "fits" : "box-wrong-purpose";
        test(`core for ${supplier}, ${corePurpose}; box for mill, ${boxPurpose}: ${expected}`, () => {
          expect(fits({ ...BOX, purpose: boxPurpose }, { ...CORE, supplier, purpose: corePurpose }, DESK)).toBe(
            expected,
          );
        });
      }
    }
  }
});

describe("a new part fits only a DOA box, and only once judged DOA", () => {
  const part: ThingFacts = { ...CORE, code: "P7K2000030", purpose: null };
  for (const purpose of PURPOSES) {
    for (const verdict of [null, "good", "doa"]) {
      const expected = verdict !== "doa" ? "part-not-doa" : purpose === "doa" ? "fits" : "box-wrong-purpose";
      test(`part judged ${verdict}; box for ${purpose}: ${expected}`, () => {
        expect(fits({ ...BOX, purpose }, { ...part, verdict }, DESK)).toBe(expected);
      });
    }
  }
  test("a part of another supplier is refused for that first", () => {
    expect(fits({ ...BOX, purpose: "credit" }, { ...part, verdict: "doa", supplier: "quarry" }, DESK)).toBe(
      "box-wrong-supplier",
    );
  });
});

describe("where it is now decides", () => {
  for (const place of ["shelf", "bench", "counter", "customer", "bin", "lost", "J7K2000040"]) {
    test(`a core last seen at ${place} is in the hand now, so it fits`, () => {
      expect(fits(BOX, CORE, { kind: "at", to: place })).toBe("fits");
    });
  }
  test("a core nobody has moved yet fits", () => expect(fits(BOX, CORE, { kind: "nowhere" })).toBe("fits"));
  test("a core in this box is in already", () => expect(fits(BOX, CORE, { kind: "at", to: BOX.code })).toBe("is_in"));
  test("a core in another box is refused", () => expect(fits(BOX, CORE, OTHER_BOX)).toBe("box-elsewhere"));
  test("a core whose records disagree is settled first", () =>
    expect(fits(BOX, CORE, { kind: "clash" })).toBe("code-clash"));
  test("a core in another box is refused for that, also when supplier and purpose differ too", () => {
    expect(fits(BOX, { ...CORE, supplier: "quarry", purpose: "recycling" }, OTHER_BOX)).toBe("box-elsewhere");
  });
});

describe("what is no part of the shop's shipping never fits", () => {
  for (const code of ["D7K2000050", "T7K2000060", "J7K2000070", "B7K2000080"]) {
    test(`${code} is no old part`, () => expect(fits(BOX, { ...CORE, code }, DESK)).toBe("core-not-known"));
  }
  test("nothing known of it", () => expect(fits(BOX, null, { kind: "nowhere" })).toBe("core-not-known"));
  test("a core that only moved and was never tagged", () => {
    expect(fits(BOX, { ...CORE, name: null, supplier: null, purpose: null }, DESK)).toBe("core-not-known");
  });
  test("a part that was never received", () => {
    expect(fits(BOX, { ...CORE, code: "P7K2000030", name: null, purpose: null }, { kind: "nowhere" })).toBe(
      "code-unknown",
    );
  });
});

describe("a failed or damaged battery is refused whatever else is right", () => {
  const damaged = { ...CORE, shipping_caution: "battery_damaged" };
  for (const shipping_caution of ["battery_failed", "battery_damaged"]) {
    for (const purpose of PURPOSES) {
      test(`${shipping_caution}, box for ${purpose}`, () => {
        const box = { ...BOX, purpose };
        expect(fits(box, { ...CORE, purpose, shipping_caution }, DESK)).toBe("battery-not-shippable");
        const part = { ...CORE, code: "P7K2000030", purpose: null, verdict: "doa", shipping_caution };
        expect(fits(box, part, DESK)).toBe("battery-not-shippable");
      });
    }
  }
  test("also into a sealed box, from another box, and in a clash", () => {
    expect(fits({ ...BOX, sealed: {} }, damaged, OTHER_BOX)).toBe("battery-not-shippable");
    expect(fits(BOX, damaged, { kind: "clash" })).toBe("battery-not-shippable");
  });
  test("a battery inside that is whole fits, and a loose sound one fits its own box", () => {
    expect(fits(BOX, { ...CORE, shipping_caution: "battery_inside" }, DESK)).toBe("fits");
    const loose = { ...CORE, purpose: "battery", shipping_caution: "battery_loose" };
    expect(fits({ ...BOX, purpose: "battery" }, loose, DESK)).toBe("fits");
    expect(fits(BOX, loose, DESK)).toBe("box-wrong-purpose");
  });
});

describe("the box's own standing decides", () => {
  test("not opened", () => expect(fits({ ...BOX, opened: null }, CORE, DESK)).toBe("box-not-open"));
  test("sealed", () => expect(fits({ ...BOX, sealed: {} }, CORE, DESK)).toBe("box-sealed"));
  test("sealed with this core in it", () =>
    expect(fits({ ...BOX, sealed: {} }, CORE, { kind: "at", to: BOX.code })).toBe("is_in"));
  test("one below full", () => expect(fits({ ...BOX, count: MOST_IN_BOX - 1 }, CORE, DESK)).toBe("fits"));
  test("full", () => expect(fits({ ...BOX, count: MOST_IN_BOX }, CORE, DESK)).toBe("box-full"));
});

describe("a box is sealed only as counted and weighed", () => {
  const good = {
    box: { opened: 1, sealed: null },
    inside: ["C1", "C2"],
    clashing: [],
    unsafe: [],
    count: 2,
    weight_g: 400,
  };
  test("two in it, two counted", () => expect(maySeal(good)).toBeNull());
  test("not opened", () => expect(maySeal({ ...good, box: { opened: null, sealed: null } })).toBe("box-not-open"));
  test("sealed already", () => expect(maySeal({ ...good, box: { opened: 1, sealed: {} } })).toBe("box-sealed"));
  test("empty, also when counted as zero", () => expect(maySeal({ ...good, inside: [], count: 0 })).toBe("box-empty"));
  test("clash inside", () => expect(maySeal({ ...good, clashing: ["C2"] })).toBe("code-clash"));
  test("clash inside is named before a wrong count", () => {
    expect(maySeal({ ...good, clashing: ["C2"], count: 1 })).toBe("code-clash");
  });
  test("a battery found failed or damaged since it was put in", () =>
    expect(maySeal({ ...good, unsafe: ["C2"], count: 1 })).toBe("battery-not-shippable"));
  for (const count of [0, 1, 3, null]) {
    test(`two in it, ${count} counted`, () => expect(maySeal({ ...good, count })).toBe("box-count-differs"));
  }
  for (const weight_g of [null, 0, -1, 1_000_000]) {
    test(`weight ${weight_g}`, () => expect(maySeal({ ...good, weight_g })).toBe("box-weight-missing"));
  }
  for (const weight_g of [1, 999_999]) {
    test(`weight ${weight_g} will do`, () => expect(maySeal({ ...good, weight_g })).toBeNull());
  }
});

describe("a box leaves sealed, once, with every place certain", () => {
  test("sealed", () => expect(mayShip({ sealed: {}, shipped: null }, [], [])).toBeNull());
  test("open", () => expect(mayShip({ sealed: null, shipped: null }, [], [])).toBe("box-not-sealed"));
  test("left already", () => expect(mayShip({ sealed: {}, shipped: {} }, [], [])).toBe("box-shipped"));
  test("clash inside", () => expect(mayShip({ sealed: {}, shipped: null }, ["C1"], ["C1"])).toBe("code-clash"));
  test("a failed or damaged battery inside", () =>
    expect(mayShip({ sealed: {}, shipped: null }, [], ["C1"])).toBe("battery-not-shippable"));
  test("to the supplier or the recycler, by purpose", () => {
    expect(PURPOSES.map(leavesTo)).toEqual(["supplier", "supplier", "recycler", "recycler"]);
  });
});

/** 49 CFR 173.185(c)(1)(i): at most 20 Wh a cell and 100 Wh a battery, inclusive. */
describe("energy is summed and compared in whole milliwatt-hours", () => {
  const of = (energy_mwh: number | null, shipping_caution = "battery_inside") => ({
    code: "C1",
    shipping_caution,
    energy_mwh,
  });
  test("sum", () => expect(energyOf([of(11_550), of(7_400), of(8_140)]).inside.sum_mwh).toBe(27_090));
  test("20.00 Wh is within the cell limit, 20.01 Wh is not", () => {
    expect(energyOf([of(20_000)]).over_cell).toEqual([]);
    expect(energyOf([of(20_010)]).over_cell).toEqual(["C1"]);
  });
  test("100.000 Wh is within the battery limit, 3.6 V x 27.78 Ah = 100.008 Wh is not", () => {
    expect(energyOf([of(100_000)]).over_battery).toEqual([]);
    expect(energyOf([of(100_008)]).over_battery).toEqual(["C1"]);
  });
  test("loose ones and those inside of parts are counted apart, and those without a known energy as such", () => {
    const pieces = [of(null), of(null, "none"), of(5_000), of(11_550, "battery_loose"), of(null, "battery_loose")];
    expect(energyOf(pieces)).toEqual({
      loose: { pieces: 2, sum_mwh: 11_550, unknown: 1 },
      inside: { pieces: 2, sum_mwh: 5_000, unknown: 1 },
      unsafe: [],
      over_cell: [],
      over_battery: [],
    });
  });
  test("what failed or is damaged is in neither sum and is named", () => {
    const energy = energyOf([{ ...of(9_000, "battery_failed"), code: "P1" }, of(9_000, "battery_damaged")]);
    expect(energy.unsafe).toEqual(["P1", "C1"]);
    expect([energy.loose.pieces, energy.inside.pieces]).toEqual([0, 0]);
  });
  test("a label names loose batteries before those inside of parts, and nothing for what holds none", () => {
    const caution = (purpose: string, ...cautions: string[]) =>
      boxCaution(
        purpose,
        cautions.map((c) => of(1_000, c)),
      );
    expect(caution("credit", "none")).toBe("none");
    expect(caution("credit", "none", "battery_inside")).toBe("battery_inside");
    expect(caution("credit", "battery_inside", "battery_loose")).toBe("battery_loose");
    expect(caution("battery")).toBe("battery_loose");
  });
  test("the small limits stand neither beside recycling nor beside what failed or is damaged", () => {
    expect(PURPOSES.map((purpose) => showsSmallLimits(purpose, []))).toEqual([true, true, false, false]);
    expect(showsSmallLimits("credit", ["C1"])).toBe(false);
  });
  test("the limits name their source", () => expect(SMALL_LIMITS.source).toMatch(/173\.185\(c\)\(1\)\(i\)/));
});
