/** Sentences of the history: every kind, no gap left, names instead of slugs. */
import "fake-indexeddb/auto";
import { mint } from "@pwa/codes/codes.ts";
import { docs, ownOnTop, state, station } from "@pwa/current.ts";
import { fold } from "@pwa/fold/fold.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import { lockedWhy } from "@pwa/rules/locked.ts";
import { enums, kinds } from "@pwa/tables.ts";
import { placeName, remarks, sentence } from "@pwa/views/history.ts";
import { setAsideIn, traceLines, whereIs } from "@pwa/views/trace.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { DOCS, type Draft, event } from "./shippingShop.ts";

const code = (kind: "J" | "D" | "T" | "P" | "C" | "B", n: number): string => mint(kind, "7K2", n).code;
const [JOB, DEVICE, TRAY, PART, CORE, BOX] = [
  code("J", 1),
  code("D", 1),
  code("T", 1),
  code("P", 1),
  code("C", 1),
  code("B", 1),
];

const TAGGED: Draft = {
  kind: "core.tagged",
  job: JOB,
  body: {
    core: CORE, name: "Display", part_kind: "quillet5-display", supplier: "mill", condition: "cracked", purpose: "credit",
    replaced_by: PART, shipping_caution: "none", photos: [],
  },
}; // biome-ignore format: one line of fields
const STARTED: Draft = { kind: "job.started", job: JOB, body: { procedure: "quillet5-display", revision: 1 } };

beforeEach(() => {
  docs.value = new Map(DOCS.map((d) => [d.id, d]));
  ownOnTop.value = [];
  station.value = null;
  state.value = seen([STARTED, TAGGED]);
});

function seen(drafts: readonly Draft[]) {
  return fold(
    EMPTY,
    drafts.map((d, i) => ({ incarnation: "7K2", seq: i + 1, event: event(d, i + 1) })),
  );
}

/** A value that fits a field's notation, written so that a slug left over would show. */
function sample(notation: string): unknown {
  const [, name = "", args = ""] = /^([a-z_]+)(?:\((.*)\))?$/.exec(notation) ?? [];
  switch (name) {
    case "list":
      return [];
    case "text":
    case "words":
      return "Some words";
    case "int":
      return Number(args.split(",")[0]);
    case "enum":
      return (enums[args] as readonly string[])[0];
    case "enum_of":
      return args.split(",")[0];
    case "code":
      return { J: JOB, D: DEVICE, T: TRAY, P: PART, C: CORE, B: BOX }[args.charAt(0) || "C"];
    case "place":
      return "shelf";
    case "slug":
      return "some_thing";
    case "hash":
    case "photo":
      return "a".repeat(64);
    case "event":
      return "7K2.1";
    case "ref":
      return "a".repeat(20);
    case "token":
      return "A".repeat(26);
    case "incarnation":
      return "7K1";
    default:
      throw new Error(notation);
  }
}

function sampleOf(kind: string, withOptional: boolean): Draft {
  const spec = kinds[kind];
  if (spec === undefined) throw new Error(kind);
  const fields = Object.entries(spec.fields).filter(([name]) => withOptional || !name.endsWith("?"));
  return {
    kind,
    job: spec.job === true ? JOB : null,
    body: Object.fromEntries(fields.map(([name, notation]) => [name.replace("?", ""), sample(notation)])),
  };
}

describe("every kind reads as a sentence", () => {
  for (const kind of Object.keys(kinds)) {
    for (const withOptional of [false, true]) {
      test(`${kind}${withOptional ? " with all fields" : " with the fields it must have"}`, () => {
        const text = sentence(event(sampleOf(kind, withOptional), 50));
        expect(text).not.toMatch(/[{}]|undefined|null|NaN|\[object|not said/);
        expect(text).not.toContain("some_thing");
        expect(text.length).toBeGreaterThan(5);
      });
    }
  }

  for (const [kind, spec] of Object.entries(kinds)) {
    test(`${kind} says every value of its choices in words`, () => {
      for (const [name, notation] of Object.entries(spec.fields)) {
        const choice = /^enum\((\w+)\)$/.exec(notation)?.[1];
        if (choice === undefined) continue;
        for (const value of enums[choice] as readonly string[]) {
          const draft = sampleOf(kind, true);
          const text = sentence(event({ ...draft, body: { ...draft.body, [name.replace("?", "")]: value } }, 50));
          expect(text).not.toMatch(/_|[{}]/);
        }
      }
    });
  }

  test("every gap of a text names a field of its kind", () => {
    for (const [kind, spec] of Object.entries(kinds)) {
      const names = new Set(Object.keys(spec.fields).map((n) => n.replace("?", "")));
      for (const [, gap] of spec.text.matchAll(/\{(\w+)\}/g)) expect(names, kind).toContain(gap);
    }
  });
});

describe("names stand for codes and slugs", () => {
  const say = (draft: Draft) => sentence(event(draft, 60));
  test("a move names the thing, its code and the box", () => {
    const text = say({ kind: "thing.moved", body: { thing: CORE, to: BOX, after: [] } });
    expect(text).toBe(
      `Old part ${CORE.slice(0, 5)} ${CORE.slice(5)}, Display moved to box ${BOX.slice(0, 5)} ${BOX.slice(5)}`,
    );
  });
  test("in its own trace a thing is not named in full again", () => {
    expect(sentence(event({ kind: "thing.moved", body: { thing: CORE, to: "bin", after: [] } }, 60), CORE)).toBe(
      "Old part moved to the bin",
    );
  });
  test("a code after the word for its kind brings no second word", () => {
    expect(say({ kind: "part.assigned", job: JOB, body: { part: PART } })).toBe(
      `Part ${PART.slice(0, 5)} ${PART.slice(5)} taken for this job`,
    );
  });
  test("a code left out of the sentence is no remark", () => {
    expect(remarks(event(TAGGED, 63))).toEqual([]);
  });
  test("a supplier and a purpose", () => {
    expect(say({ kind: "box.opened", body: { box: BOX, supplier: "mill", purpose: "credit" } })).toBe(
      "Box opened for Mill Lane Parts: core credit",
    );
  });
  test("a step has the title that the job's procedure gives it", () => {
    expect(say({ kind: "step.done", job: JOB, body: { step: "off" } })).toBe("Step done: Switch off");
  });
  test("a test point and its stage", () => {
    const body = { stage: "prefit", point: "touch", result: "cannot" };
    expect(say({ kind: "test.read", job: JOB, body })).toBe("Test Touch at the pre-fit test: no test");
  });
  test("a ready reason and one in words stand below a reading", () => {
    const read = (reason: object): readonly string[] => {
      const body = { stage: "final", point: "wifi", result: "cannot", ...reason };
      return remarks(event({ kind: "test.read", job: JOB, body }, 60));
    };
    expect(read({ because: "no_sim" })).toEqual(["No SIM card"]);
    expect(read({ because: "locked" })).toEqual([lockedWhy("wifi")]);
    expect(read({ why: "No network here" })).toEqual(["No network here"]);
    expect(read({})).toEqual([]);
  });
  test("a stop has its name", () => {
    expect(say({ kind: "job.stopped", job: JOB, body: { reason: "liquid" } })).toBe("Job stopped: Liquid inside");
  });
  test("a slug nobody knows is spelt out", () => {
    expect(say({ kind: "step.done", job: JOB, body: { step: "old-step_two" } })).toBe("Step done: old step two");
  });
  test("every place reads in words", () => {
    for (const place of ["counter", "shelf", "bench", "shipping", "customer", "supplier", "recycler", "bin", "lost"]) {
      expect(placeName(place)).not.toBe(place);
    }
  });
  test("what the sentence leaves out stands below it", () => {
    const moved = event({ kind: "thing.moved", body: { thing: CORE, to: "bin", after: [], why: "Broke in two" } }, 61);
    expect(remarks(moved)).toEqual(["Broke in two"]);
    expect(remarks(event({ kind: "note.added", job: JOB, body: { note: "Called twice" } }, 62))).toEqual([]);
  });
  test("a text with braces in it is not taken for a gap", () => {
    expect(say({ kind: "note.added", job: JOB, body: { note: "write {name} here" } })).toBe("Note: write {name} here");
  });
});

describe("the trace", () => {
  const moved = (seq: number, to: string, incarnation = "7K2") =>
    event({ kind: "thing.moved", body: { thing: CORE, to, after: [] } }, seq, incarnation);
  const placed = (events: readonly ReturnType<typeof event>[]) =>
    events.map((e, i) => ({ position: i + 1, event: e, entry: { incarnation: e.incarnation, seq: e.seq, event: e } }));

  test("the server's order first, what is only here on top, each marked", () => {
    const lines = traceLines(CORE, placed([moved(9, "shelf", "9ZZ"), moved(3, "bench")]), [moved(4, "shipping")]);
    expect(lines.map((l) => [l.id, l.mark])).toEqual([
      ["9ZZ.9", "sent"],
      ["7K2.3", "sent"],
      ["7K2.4", "kept"],
    ]);
  });
  test("an own event that was pulled meanwhile is said once, as on the server", () => {
    expect(traceLines(CORE, placed([moved(3, "bench")]), [moved(3, "bench")]).map((l) => l.mark)).toEqual(["sent"]);
  });
  test("the leaving of the box it lies in belongs to it", () => {
    state.value = seen([TAGGED, { kind: "thing.moved", body: { thing: CORE, to: BOX, after: [] } }]);
    const left = event({ kind: "box.shipped", body: { box: BOX, reference: "R 17" } }, 6);
    const other = event({ kind: "box.shipped", body: { box: code("B", 9) } }, 7);
    expect(traceLines(CORE, [], [left, other]).map((l) => [l.text, l.remarks])).toEqual([
      ["Box handed to the shipper", ["R 17"]],
    ]);
  });
  test("own events about other things are left out", () => {
    const other = event({ kind: "thing.moved", body: { thing: TRAY, to: "bench", after: [] } }, 5);
    expect(traceLines(CORE, [], [other])).toEqual([]);
  });
  test("an event of a newer version is shown as such", () => {
    const [line] = traceLines(JOB, placed([event({ kind: "job.polished", job: JOB, body: { gloss: 3 } }, 8)]), []);
    expect(line?.newer).toBe(true);
    expect(line?.text).toBe("From a newer version: job polished");
  });
  test("an entry that was set aside keeps its place, fault and text; sound ones are no such entry", () => {
    const lines = `4\t-\t{"v":1}\n5\tbad-field@9ZZ.7\t{"v":1,\t"x":"${CORE}"}\n6\t-\t{}\n`;
    expect(setAsideIn(lines)).toEqual([
      { position: 5, id: "9ZZ.7", slug: "bad-field", text: `{"v":1,\t"x":"${CORE}"}` },
    ]);
  });
  test("a rule that was broken is noticed at the entry that broke it", () => {
    const sealed = { kind: "box.sealed", body: { box: BOX, count: 0, weight_g: 1, cores: [] } };
    const opened = { kind: "box.opened", body: { box: BOX, supplier: "mill", purpose: "credit" } };
    const late = { kind: "thing.moved", body: { thing: CORE, to: BOX, after: [] } };
    state.value = seen([STARTED, TAGGED, opened, sealed, late]);
    expect(traceLines(CORE, placed([event(late, 5)]), []).map((l) => l.findings)).toEqual([["box-sealed"]]);
  });
});

describe("where it is, in words", () => {
  const opened = { kind: "box.opened", body: { box: BOX, supplier: "mill", purpose: "credit" } };
  const into = { kind: "thing.moved", body: { thing: CORE, to: BOX, after: [] } };
  const sealed = { kind: "box.sealed", body: { box: BOX, count: 1, weight_g: 90, cores: [CORE] } };
  const shipped = { kind: "box.shipped", body: { box: BOX, reference: "R 17" } };
  const boxAway = { kind: "thing.moved", body: { thing: BOX, to: "supplier", after: [] } };

  test("nobody has said", () => expect(whereIs(CORE)).toEqual(["Nobody has said where it is"]));
  test("in an open box", () => {
    state.value = seen([TAGGED, opened, into]);
    expect(whereIs(CORE)).toEqual([
      `In box ${BOX.slice(0, 5)} ${BOX.slice(5)}`,
      "The box: Mill Lane Parts, Core credit",
      "Open",
    ]);
  });
  test("in a box that has left, to the end of the chain", () => {
    state.value = seen([TAGGED, opened, into, sealed, shipped, boxAway]);
    const said = whereIs(CORE);
    expect(said[0]).toMatch(/^In box /);
    expect(said[2]).toMatch(/^Handed to the shipper .* \(R 17\)$/);
    expect(said[said.length - 1]).toBe("With the supplier");
  });
  test("things in each other do not loop", () => {
    const other = code("B", 9);
    state.value = seen([
      { kind: "thing.moved", body: { thing: BOX, to: other, after: [] } },
      { kind: "thing.moved", body: { thing: other, to: BOX, after: [] } },
    ]);
    expect(whereIs(BOX).filter((line) => line.startsWith("In box"))).toHaveLength(2);
  });
});
