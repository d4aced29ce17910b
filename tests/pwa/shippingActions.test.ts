/** Opening, filling, sealing, shipping, receiving, settling and exporting on a station, down to its own log. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { openBox, putIn, sealBox, shipBox, takeOut } from "@pwa/actions/box.ts";
import { settlePlace } from "@pwa/actions/clash.ts";
import { moved } from "@pwa/actions/move.ts";
import { MOST_UNITS, receiveParts } from "@pwa/actions/part.ts";
import { unsentFile } from "@pwa/actions/rescue.ts";
import { ownOnTop, signedOn, state, takeOwn } from "@pwa/current.ts";
import { genesis, link } from "@pwa/events/chain.ts";
import type { ShippingCaution } from "@pwa/events/kinds.gen.ts";
import { piecesOf, sealDrift } from "@pwa/facts/boxes.ts";
import { placeOf, placeOfCode } from "@pwa/facts/things.ts";
import { type Entry, fold, stateHash } from "@pwa/fold/fold.ts";
import { EMPTY, type State } from "@pwa/fold/state.ts";
import { getMeta, type StationRow } from "@pwa/log/db.ts";
import { slugOf } from "@pwa/rules/slug.ts";
import { remarks } from "@pwa/views/history.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { event, joinedStation } from "./shippingShop.ts";

beforeEach(() => joinedStation());

type Tag = {
  readonly supplier?: string;
  readonly purpose?: "credit" | "doa" | "recycling" | "battery";
  readonly caution?: "none" | "battery_damaged";
};

async function tagged({ supplier = "mill", purpose = "credit", caution = "none" }: Tag = {}): Promise<string> {
  let code = "";
  const written = await act((pen) => {
    code = pen.mint("C");
    const job = pen.mint("J");
    const body = {
      core: code,
      name: "Display",
      part_kind: "quillet5-display",
      supplier,
      condition: "cracked" as const,
      purpose,
      shipping_caution: caution,
      photos: [],
    };
    return [{ kind: "core.tagged", job, body }];
  });
  expect(written.ok).toBe(true);
  return code;
}

async function box(supplier = "mill", purpose: "credit" | "recycling" | "battery" = "credit"): Promise<string> {
  const opened = await openBox(null, supplier, purpose);
  if (!opened.ok) throw new Error(opened.problem.slug);
  return opened.value;
}

const slugOfProblem = (result: { readonly ok: boolean; readonly problem?: { readonly slug: string } }) =>
  result.problem?.slug ?? "ok";

describe("filling a box", () => {
  test("a core that fits is booked with one scan, and counted", async () => {
    const [b, core] = [await box(), await tagged()];
    expect(await putIn(b, core)).toEqual({ ok: true, value: { code: core, name: "Display", count: 1, wasIn: false } });
    expect(placeOfCode(core)).toEqual({ kind: "at", to: b });
  });
  test("the same core again writes nothing", async () => {
    const [b, core] = [await box(), await tagged()];
    await putIn(b, core);
    const before = ownOnTop.value.length;
    const again = await putIn(b, core);
    expect(again.ok && again.value.wasIn).toBe(true);
    expect(ownOnTop.value.length).toBe(before);
  });
  test("a refusal writes nothing and names the open box it should go to", async () => {
    const [credit, recycling, core] = [
      await box(),
      await box("mill", "recycling"),
      await tagged({ purpose: "recycling" }),
    ];
    const before = ownOnTop.value.length;
    const put = await putIn(credit, core);
    expect(put.ok).toBe(false);
    if (!put.ok) {
      expect(put.problem.slug).toBe("box-wrong-purpose");
      expect(put.problem).toMatchObject({ box: recycling });
      expect(put.problem.detail).toContain(`Its box is ${recycling.slice(0, 5)} ${recycling.slice(5)}`);
    }
    expect(ownOnTop.value.length).toBe(before);
  });
  test("a refusal says when no box is open for it", async () => {
    const [b, core] = [await box(), await tagged({ supplier: "quarry" })];
    const put = await putIn(b, core);
    expect(put.ok ? "" : put.problem.detail).toBe(
      "Display is for Quarry Supply, Core credit. No box is open for that.",
    );
  });
  test("a core in another box names that box", async () => {
    const [first, second, core] = [await box(), await box(), await tagged()];
    await putIn(first, core);
    const put = await putIn(second, core);
    expect(slugOfProblem(put)).toBe("box-elsewhere");
    expect(put.ok ? null : put.problem).toMatchObject({ box: first });
  });
  test("a damaged battery is never booked", async () => {
    const [b, core] = [await box("mill", "battery"), await tagged({ purpose: "battery", caution: "battery_damaged" })];
    expect(slugOfProblem(await putIn(b, core))).toBe("battery-not-shippable");
    expect(placeOfCode(core).kind).toBe("nowhere");
  });
  test("nobody signed on books nothing", async () => {
    const [b, core] = [await box(), await tagged()];
    signedOn.value = null;
    expect(slugOfProblem(await putIn(b, core))).toBe("not-signed-on");
  });
  test("what is taken out lies at the shipping desk and may go into another box", async () => {
    const [first, second, core] = [await box(), await box(), await tagged()];
    await putIn(first, core);
    expect((await takeOut(first, core)).ok).toBe(true);
    expect(placeOfCode(core)).toEqual({ kind: "at", to: "shipping" });
    expect((await putIn(second, core)).ok).toBe(true);
  });
  test("a label opened twice stays the box it is", async () => {
    const b = await box();
    const before = ownOnTop.value.length;
    expect(await openBox(b, "quarry", "doa")).toEqual({ ok: true, value: b });
    expect(ownOnTop.value.length).toBe(before);
  });
});

describe("sealing and shipping", () => {
  test("a count that is not the box's is refused with both numbers", async () => {
    const b = await box();
    await putIn(b, await tagged());
    await putIn(b, await tagged());
    const sealed = await sealBox(b, 3, 500);
    expect(slugOfProblem(sealed)).toBe("box-count-differs");
    expect(sealed.ok ? "" : sealed.problem.detail).toBe("You counted 3. Booked into this box: 2.");
    expect(state.value.box.get(b)?.sealed).toBeNull();
  });
  test("an empty box, and a box without weight, stay open", async () => {
    const b = await box();
    expect(slugOfProblem(await sealBox(b, 0, 100))).toBe("box-empty");
    await putIn(b, await tagged());
    expect(slugOfProblem(await sealBox(b, 1, null))).toBe("box-weight-missing");
  });
  test("sealed with its codes, then nothing goes in or out", async () => {
    const b = await box();
    const [inside, late] = [await tagged(), await tagged()];
    await putIn(b, inside);
    expect((await sealBox(b, 1, 250)).ok).toBe(true);
    expect(state.value.box.get(b)?.sealed).toMatchObject({ count: 1, weight_g: 250, cores: [inside] });
    expect(slugOfProblem(await putIn(b, late))).toBe("box-sealed");
    expect(slugOfProblem(await takeOut(b, inside))).toBe("box-sealed");
    expect(slugOfProblem(await sealBox(b, 1, 250))).toBe("box-sealed");
  });
  test("an open box does not leave; a sealed one leaves once and is at the supplier", async () => {
    const b = await box();
    await putIn(b, await tagged());
    expect(slugOfProblem(await shipBox(b, ""))).toBe("box-not-sealed");
    await sealBox(b, 1, 250);
    expect((await shipBox(b, " R 17 ")).ok).toBe(true);
    expect(state.value.box.get(b)?.shipped?.reference).toBe("R 17");
    expect(placeOfCode(b)).toEqual({ kind: "at", to: "supplier" });
    expect(slugOfProblem(await shipBox(b, ""))).toBe("box-shipped");
  });
  test("the record says when other pieces are booked in than were sealed", async () => {
    const b = await box();
    const [inside, late] = [await tagged(), await tagged()];
    await putIn(b, inside);
    await sealBox(b, 1, 250);
    await act(() => [moved(late, b), moved(inside, "bin")]);
    expect(sealDrift(b)).toEqual({ gone: [inside], extra: [late] });
    expect(state.value.box.get(b)?.findings.map((f) => f.slug)).toEqual(["box-sealed"]);
  });
});

describe("receiving parts", () => {
  const part = {
    ...{ name: "Display", part_kind: "quillet5-display", supplier: "mill", lot: "L-204" },
    shipping_caution: "none" as ShippingCaution | null,
    energy_mwh: null as number | null,
  };
  test("each unit gets its own code, onto the shelf, all or none", async () => {
    const got = await receiveParts(null, part, 3);
    if (!got.ok) throw new Error(got.problem.slug);
    expect(new Set(got.value).size).toBe(3);
    for (const code of got.value) expect(placeOfCode(code)).toEqual({ kind: "at", to: "shelf" });
  });
  test("what is missing is named and nothing is written", async () => {
    const blanks = [{ lot: " " }, { name: "" }, { supplier: "" }, { part_kind: "" }, { shipping_caution: null }];
    for (const missing of blanks) {
      expect(slugOfProblem(await receiveParts(null, { ...part, ...missing }, 1))).toBe("field-missing");
    }
    for (const units of [null, 0, MOST_UNITS + 1])
      expect(slugOfProblem(await receiveParts(null, part, units))).toBe("field-missing");
    expect(ownOnTop.value).toEqual([]);
  });
  test("each unit knows from then on whether it is or holds a battery, and its energy", async () => {
    const received = async (shipping_caution: ShippingCaution, energy_mwh: number | null) => {
      const got = await receiveParts(null, { ...part, shipping_caution, energy_mwh }, 1);
      const thing = state.value.thing.get(got.ok ? (got.value[0] as string) : "");
      return [thing?.shipping_caution, thing?.energy_mwh];
    };
    expect(await received("battery_loose", 11_550)).toEqual(["battery_loose", 11_550]);
    expect(await received("battery_inside", null)).toEqual(["battery_inside", null]);
    // What holds no battery has no energy, whatever stood in the field before.
    expect(await received("none", 11_550)).toEqual(["none", null]);
  });
  test("a label received once is not received again", async () => {
    const got = await receiveParts(null, part, 1);
    const code = got.ok ? (got.value[0] as string) : "";
    expect(slugOfProblem(await receiveParts(code, part, 1))).toBe("part-known");
  });
});

describe("a clash between two stations", () => {
  const [CORE, ONE, TWO] = ["C7K2000010", "B7K2000011", "B9ZZ000012"];
  const move = (to: string, after: readonly string[], seq: number, incarnation: string) =>
    event({ kind: "thing.moved", body: { thing: CORE, to, after } }, seq, incarnation);
  const entries = (events: readonly ReturnType<typeof event>[]): readonly Entry[] =>
    events.map((e) => ({ incarnation: e.incarnation, seq: e.seq, event: e }));
  const seenBy = (base: State, events: readonly ReturnType<typeof event>[]) => fold(base, entries(events));

  /** Both stations put the core into a box of their own while neither hears of the other. */
  const atOne = move(ONE, [], 1, "7K2");
  const atTwo = move(TWO, [], 1, "9ZZ");

  test("it is one at each of them as long as they are apart, and a clash at both once they met", async () => {
    expect(placeOf(seenBy(EMPTY, [atOne]).thing.get(CORE))).toEqual({ kind: "at", to: ONE });
    expect(placeOf(seenBy(EMPTY, [atTwo]).thing.get(CORE))).toEqual({ kind: "at", to: TWO });
    const [first, second] = [seenBy(EMPTY, [atOne, atTwo]), seenBy(EMPTY, [atTwo, atOne])];
    for (const state of [first, second])
      expect(placeOf(state.thing.get(CORE))).toEqual({ kind: "clash", places: [ONE, TWO] });
    expect(await stateHash(first)).toBe(await stateHash(second));
  });

  test("a person who looked settles it by one move that follows both, and both stations see the same", async () => {
    const row = (await getMeta<StationRow>("station")) as StationRow;
    // Neither move is of this station's present chain, whose first place the settling takes.
    takeOwn([move(ONE, [], 1, "8AA"), atTwo], row);
    expect(slugOfProblem(await settlePlace(CORE, TWO, " "))).toBe("field-missing");
    expect(slugOfProblem(await settlePlace(CORE, null, "I looked"))).toBe("field-missing");
    expect(slugOfProblem(await settlePlace(CORE, "B7K2000099", "I looked"))).toBe("field-missing");
    expect(placeOfCode(CORE).kind).toBe("clash");
    const own = ownOnTop.value.length;
    expect((await settlePlace(CORE, TWO, "Opened both boxes")).ok).toBe(true);
    const settled = ownOnTop.value[own];
    expect(settled?.body).toEqual({ thing: CORE, to: TWO, after: ["8AA.1", "9ZZ.1"], why: expect.any(String) });
    expect(settled === undefined ? [] : remarks(settled)).toEqual(["Opened both boxes"]);
  });

  test("the settling is the same for a station that gets it after, and in whichever order the two moves came", async () => {
    const settled = move(TWO, ["7K2.1", "9ZZ.1"], 2, "7K2");
    const first = seenBy(EMPTY, [atOne, atTwo, settled]);
    const second = seenBy(seenBy(EMPTY, [atTwo]), [atOne, settled]);
    expect(placeOf(first.thing.get(CORE))).toEqual({ kind: "at", to: TWO });
    expect(await stateHash(first)).toBe(await stateHash(second));
  });

  test("a move that knew only one of the two does not settle it", () => {
    const half = move("shipping", ["7K2.1"], 2, "7K2");
    expect(placeOf(seenBy(EMPTY, [atOne, atTwo, half]).thing.get(CORE))).toEqual({
      kind: "clash",
      places: [TWO, "shipping"],
    });
  });

  test("two people who settle it apart to the same place agree; to two places they clash again", () => {
    const here = move(TWO, ["7K2.1", "9ZZ.1"], 2, "7K2");
    const same = move(TWO, ["7K2.1", "9ZZ.1"], 2, "9ZZ");
    const other = move("bin", ["7K2.1", "9ZZ.1"], 2, "9ZZ");
    expect(placeOf(seenBy(EMPTY, [atOne, atTwo, here, same]).thing.get(CORE))).toEqual({ kind: "at", to: TWO });
    expect(placeOf(seenBy(EMPTY, [atOne, atTwo, here, other]).thing.get(CORE)).kind).toBe("clash");
  });

  test("a clash inside keeps a box from being sealed, and counts in both boxes", async () => {
    const b = await box();
    const core = await tagged();
    await putIn(b, core);
    const row = (await getMeta<StationRow>("station")) as StationRow;
    takeOwn([event({ kind: "thing.moved", body: { thing: core, to: TWO, after: [] } }, 1, "9ZZ")], row);
    expect(piecesOf(b).map((p) => p.clash)).toEqual([true]);
    expect(piecesOf(TWO).map((p) => p.code)).toEqual([core]);
    expect(slugOfProblem(await sealBox(b, 1, 100))).toBe("code-clash");
    expect(slugOfProblem(await takeOut(b, core))).toBe("code-clash");
    await settlePlace(core, b, "It is in this one");
    expect((await sealBox(b, 1, 100)).ok).toBe(true);
  });
});

describe("the file of what is not sent", () => {
  test("its lines are a push: the hashes of the first line hold over the events below it", async () => {
    await box();
    await tagged();
    const file = await unsentFile();
    if (!file.ok) throw new Error(file.problem.slug);
    const [first, ...lines] = file.value.text.trimEnd().split("\n");
    const header = JSON.parse(first as string) as Record<string, unknown>;
    expect(header.first_seq).toBe(1);
    expect(header.prev).toBe(await genesis("S1AA", "7K2"));
    expect(lines.length).toBe(header.events);
    let hash = header.prev as string;
    for (const line of lines) hash = await link(hash, line);
    expect(hash).toBe(header.head);
    expect(lines.length).toBe(3);
  });
  test("with nothing to send it says so", async () => {
    const file = await unsentFile();
    const header = JSON.parse(file.ok ? file.value.text : "{}") as Record<string, unknown>;
    expect([header.events, header.cards, header.photos]).toEqual([0, 0, []]);
    expect(header.head).toBe(header.prev);
  });
});

describe("ids made from names", () => {
  test("small letters, without marks, never twice", () => {
    expect(slugOf("Señor Böhm & Sons", [])).toBe("senor-bohm-sons");
    expect(slugOf("Mill", ["mill", "mill-2"])).toBe("mill-3");
    expect(slugOf("5th Street", [])).toBe("n-5th-street");
    expect(slugOf("倉庫", [])).toMatch(/^[a-z][a-z0-9_-]{0,39}$/);
    expect(slugOf("x".repeat(80), [])).toMatch(/^[a-z][a-z0-9_-]{0,39}$/);
  });
});
