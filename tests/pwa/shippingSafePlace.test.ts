/** The safe place: where a battery may lie, what belongs there, and how a collector takes it for good. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { settlePlace } from "@pwa/actions/clash.ts";
import { setApart } from "@pwa/actions/judge.ts";
import { moved } from "@pwa/actions/move.ts";
import { setCaution } from "@pwa/actions/part.ts";
import { bringToSafe, handToCollector } from "@pwa/actions/safePlace.ts";
import { docs, ownOnTop, signedOn, state } from "@pwa/current.ts";
import type { Battery, ShippingCaution } from "@pwa/events/kinds.gen.ts";
import { said } from "@pwa/facts/texts.ts";
import { placeOfCode } from "@pwa/facts/things.ts";
import { type LyingFacts, MOST_COLLECTED, mayLieAt } from "@pwa/rules/safePlace.ts";
import { enums, kinds, places } from "@pwa/tables.ts";
import { openJobs } from "@pwa/views/queue.ts";
import { belongInSafePlace, cellWords, inSafePlace, safePlaceLine } from "@pwa/views/safePlace.ts";
import { owed } from "@pwa/views/status.ts";
import { readTrace } from "@pwa/views/trace.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { joinedStation } from "./shippingShop.ts";

beforeEach(() => joinedStation());

const CLERK = "W002";
const asClerk = (): void => {
  const staff = { name: "Quarto", role: "shipping", badge_salt: "s", badge_hash: "h" };
  docs.value = new Map([
    ...docs.value,
    [`staff:${CLERK}`, { id: `staff:${CLERK}`, kind: "staff", rev: 9, body: staff }],
  ]);
  signedOn.value = CLERK;
};

async function tagged(shipping_caution: ShippingCaution, to = "bench"): Promise<string> {
  let core = "";
  const written = await act((pen) => {
    core = pen.mint("C");
    const what = { name: "Battery", part_kind: "quillet5-battery", supplier: "mill", condition: "bent" as const };
    const body = { core, ...what, purpose: "battery" as const, shipping_caution, photos: [] };
    return [
      { kind: "core.tagged", job: pen.mint("J"), body },
      { kind: "thing.moved", body: { thing: core, to, after: [] } },
    ];
  });
  expect(written.ok).toBe(true);
  return core;
}

/** A device in a job that stopped for its battery. */
async function device(battery: Battery, to = "counter"): Promise<{ readonly code: string; readonly job: string }> {
  let [code, job] = ["", ""];
  const written = await act((pen) => {
    [code, job] = [pen.mint("D"), pen.mint("J")];
    const refs = { card: "c".repeat(20), contact: "k".repeat(20), ticket: "A".repeat(26) };
    const body = { device: code, ...refs, model: "Quillet 5", complaint: "Back lifts", consents: [] };
    return [
      { kind: "job.booked", job, body },
      { kind: "thing.moved", body: { thing: code, to, after: [] } },
      { kind: "job.stopped", job, body: { reason: "battery", battery } },
    ];
  });
  expect(written.ok).toBe(true);
  return { code, job };
}

const slugOf = (result: { readonly ok: boolean; readonly problem?: { readonly slug: string } }) =>
  result.problem?.slug ?? "ok";

describe("where a battery may lie", () => {
  const named = [...places];
  const refusedFor = (thing: Partial<LyingFacts>): readonly string[] =>
    named.filter(
      (place) => mayLieAt({ code: "C7K2000010", shipping_caution: null, unsafe_cell: false, ...thing }, place) !== null,
    );
  const BY_CAUTION: Readonly<Record<string, readonly string[]>> = {
    none: [],
    battery_inside: ["bin"],
    battery_loose: ["bin"],
    battery_failed: ["shelf", "bin"],
    battery_damaged: ["shelf", "bin"],
  };
  test("every caution is in the table", () => expect(Object.keys(BY_CAUTION)).toEqual(enums.shipping_caution));
  for (const [caution, refused] of Object.entries(BY_CAUTION)) {
    test(`${caution}: ${refused.join(" and ") || "nothing"} refused`, () => {
      expect(refusedFor({ shipping_caution: caution })).toEqual(refused);
      expect(refusedFor({ code: "P7K2000010", shipping_caution: caution })).toEqual(refused);
    });
  }
  for (const unsafe_cell of [true, false]) {
    test(`a device whose battery is ${unsafe_cell ? "unsafe" : "sound as far as anybody knows"}`, () => {
      expect(refusedFor({ code: "D7K2000010", unsafe_cell })).toEqual(unsafe_cell ? ["shelf", "bin"] : ["bin"]);
    });
  }
  test("a tray and a core that nobody said anything of lie anywhere", () => {
    expect(refusedFor({ code: "T7K2000010" })).toEqual([]);
    expect(refusedFor({})).toEqual([]);
  });
});

describe("a place corrected by hand", () => {
  test("shelf and bin are refused for a damaged battery, and nothing is written; the safe place is taken", async () => {
    const core = await tagged("battery_damaged");
    const before = ownOnTop.value.length;
    for (const place of ["shelf", "bin"])
      expect(slugOf(await settlePlace(core, place, "I looked"))).toBe("unsafe-place");
    expect(ownOnTop.value.length).toBe(before);
    expect(slugOf(await settlePlace(core, "safe", "I carried it"))).toBe("ok");
    expect(state.value.thing.get(core)?.findings).toEqual([]);
  });
  test("a box with a loose battery in it is not thrown away", async () => {
    const core = await tagged("battery_loose");
    let box = "";
    await act((pen) => {
      box = pen.mint("B");
      return [{ kind: "box.opened", body: { box, supplier: "mill", purpose: "battery" } }, moved(box, "shipping")];
    });
    expect(slugOf(await settlePlace(box, "bin", "I looked"))).toBe("ok");
    await act(() => [moved(core, box)]);
    expect(slugOf(await settlePlace(box, "bin", "I looked"))).toBe("unsafe-place");
  });
});

describe("what lies in the safe place and what belongs there", () => {
  test("a device with an unsafe battery and a damaged core belong there until they lie there", async () => {
    const [core, { code }] = [await tagged("battery_damaged"), await device("swollen")];
    await tagged("battery_loose");
    expect(belongInSafePlace()).toEqual([core, code].sort());
    expect(inSafePlace()).toEqual([]);
    expect(safePlaceLine(Date.now())).toBe("2 unsafe and not in the safe place");
    expect(slugOf(await bringToSafe(core))).toBe("ok");
    expect(slugOf(await bringToSafe(code))).toBe("ok");
    expect(belongInSafePlace()).toEqual([]);
    expect(inSafePlace().map((k) => k.code)).toEqual([core, code]);
    expect([core, code].map(cellWords)).toEqual(["Battery damaged: ask a licensed shipper", "Battery swollen"]);
    expect(safePlaceLine(Date.now() + 4 * 86_400_000)).toBe("2 in the safe place, oldest 4 days");
  });
  test("a loose cell that failed goes there at once; a display with a dead touch goes to the bench", async () => {
    let [cell, display] = ["", ""];
    await act((pen) => {
      [cell, display] = [pen.mint("P"), pen.mint("P")];
      const of = { supplier: "mill", lot: "L1" };
      return [
        {
          kind: "part.received",
          body: { part: cell, name: "Battery", part_kind: "b", ...of, shipping_caution: "battery_loose" },
        },
        {
          kind: "part.received",
          body: { part: display, name: "Display", part_kind: "d", ...of, shipping_caution: "none" },
        },
      ];
    });
    await act(() => [
      ...setApart({ part: cell, failed: ["battery_health"] }, "doubtful"),
      ...setApart({ part: display, failed: ["touch"] }, "doa"),
    ]);
    expect([cell, display].map((c) => state.value.thing.get(c)?.shipping_caution)).toEqual(["battery_failed", "none"]);
    expect([cell, display].map(placeOfCode)).toEqual([
      { kind: "at", to: "safe" },
      { kind: "at", to: "bench" },
    ]);
    // Judged dead later on, it stays where it is safe.
    await act(() => setApart({ part: cell, failed: ["battery_health"] }, "doa"));
    expect([state.value.thing.get(cell)?.verdict, placeOfCode(cell)]).toEqual(["doa", { kind: "at", to: "safe" }]);
  });
  test("only a lead says otherwise what a battery is, and says why", async () => {
    const core = await tagged("battery_failed", "safe");
    expect(slugOf(await setCaution(core, "battery_loose", " "))).toBe("why-missing");
    expect(slugOf(await setCaution("C7K2000099", "battery_loose", "Looked at"))).toBe("code-unknown");
    asClerk();
    expect(slugOf(await setCaution(core, "battery_loose", "Looked at"))).toBe("lead-only");
    signedOn.value = "W001";
    expect(slugOf(await setCaution(core, "battery_loose", "The licensed shipper measured it"))).toBe("ok");
    expect(state.value.thing.get(core)?.shipping_caution).toBe("battery_loose");
  });
});

describe("what a job says of a device's battery", () => {
  const STATES = { sound: false, swollen: true, punctured: true, hot: true, leaking: true };
  test("every state is in the table", () => expect(Object.keys(STATES)).toEqual(enums.battery));
  for (const [battery, unsafe] of Object.entries(STATES)) {
    test(`${battery}: ${unsafe ? "the shelf is refused" : "nothing but the bin is refused"}`, async () => {
      const { code, job } = await device("sound");
      await act(() => [
        { kind: "stop.lifted", job, body: { reason: "battery", plan: "cell_safe", why: "Looked at again" } },
        { kind: "power.isolated", job, body: { battery: battery as Battery, photos: [], step: "power" } },
      ]);
      expect(slugOf(await settlePlace(code, "bin", "I looked"))).toBe("unsafe-place");
      expect(slugOf(await settlePlace(code, "shelf", "I looked"))).toBe(unsafe ? "unsafe-place" : "ok");
    });
  }
});

describe("a collector's pick-up", () => {
  const pickUp = { who: "Greenfold, Mr Ash", paper: "GF-2231", agreed: {} };
  test("without things, a name or a paper nothing leaves", async () => {
    const core = await tagged("battery_damaged", "safe");
    const before = ownOnTop.value.length;
    expect(slugOf(await handToCollector({ ...pickUp, things: [] }, []))).toBe("field-missing");
    expect(slugOf(await handToCollector({ ...pickUp, things: [core], who: " " }, []))).toBe("field-missing");
    expect(slugOf(await handToCollector({ ...pickUp, things: [core], paper: " " }, []))).toBe("pick-up-no-paper");
    const many = Array.from({ length: MOST_COLLECTED + 1 }, () => core);
    expect(slugOf(await handToCollector({ ...pickUp, things: many }, []))).toBe("field-missing");
    expect(ownOnTop.value.length).toBe(before);
    expect(kinds["safe.collected"]?.fields.things).toContain(`,${MOST_COLLECTED})`);
  });
  test("what is not in the safe place does not leave it", async () => {
    const core = await tagged("battery_damaged", "bench");
    expect(slugOf(await handToCollector({ ...pickUp, things: [core] }, []))).toBe("not-in-safe-place");
  });
  test("cores leave for good, and each trace shows who took it with which paper", async () => {
    const [one, two] = [await tagged("battery_damaged", "safe"), await tagged("battery_failed", "safe")];
    asClerk();
    const photo = "a".repeat(64);
    expect(slugOf(await handToCollector({ ...pickUp, things: [one, two] }, [photo]))).toBe("ok");
    expect(inSafePlace()).toEqual([]);
    for (const core of [one, two]) {
      expect(placeOfCode(core)).toEqual({ kind: "at", to: "recycler" });
      const [collected, move] = (await readTrace(core)).slice(-2);
      expect(collected?.text).toBe("Collected from the safe place by Greenfold, Mr Ash");
      expect(collected?.remarks).toContain("GF-2231");
      expect(collected?.photos).toEqual([photo]);
      expect(move?.remarks).toEqual(["Collected by Greenfold, Mr Ash, paper GF-2231"]);
    }
  });
  test("a device leaves only by a lead and with what its owner agreed to; its job owes nothing more", async () => {
    const { code, job } = await device("hot", "safe");
    const take = (text: string) => handToCollector({ ...pickUp, things: [code], agreed: { [code]: text } }, []);
    expect(slugOf(await take(" "))).toBe("owner-not-asked");
    asClerk();
    expect(slugOf(await take("By telephone on Monday: dispose of it"))).toBe("lead-only");
    signedOn.value = "W001";
    expect(slugOf(await take("By telephone on Monday: dispose of it"))).toBe("ok");
    const record = state.value.job.get(job);
    if (record === undefined) throw new Error("no job");
    expect(said(record.notes.at(-1)?.note ?? null)).toBe(
      "Collected by Greenfold, Mr Ash, paper GF-2231, for disposal. The owner agreed: By telephone on Monday: dispose of it",
    );
    expect(record.findings).toEqual([]);
    expect(record.stage).toBe("stopped");
    expect(owed(record, Date.now()).act).toEqual({ do: "nothing" });
    expect(openJobs(Date.now(), null)).toEqual([]);
  });
  test("a move names every head, so that it closes what two stations said apart", async () => {
    const core = await tagged("battery_damaged", "safe");
    await act(() => [{ kind: "thing.moved", body: { thing: core, to: "safe", after: [] } }]);
    expect(Object.keys(state.value.thing.get(core)?.heads ?? {})).toHaveLength(2);
    expect(slugOf(await handToCollector({ ...pickUp, things: [core] }, []))).toBe("ok");
    expect(Object.keys(state.value.thing.get(core)?.heads ?? {})).toHaveLength(1);
  });
  test("while two records disagree where it is it goes to nobody", async () => {
    const core = await tagged("battery_damaged", "safe");
    await act(() => [{ kind: "thing.moved", body: { thing: core, to: "bench", after: [] } }]);
    expect(slugOf(await handToCollector({ ...pickUp, things: [core] }, []))).toBe("code-clash");
    expect(slugOf(await bringToSafe(core))).toBe("code-clash");
  });
});
