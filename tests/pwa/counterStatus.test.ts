import type { StopReason } from "@pwa/events/kinds.gen.ts";
/** views/status.ts, views/comparison.ts: what the customer is owed next, by the state of the job. */
import type { Job } from "@pwa/fold/state.ts";
import { handOverBy, mayHandOver } from "@pwa/rules/handOver.ts";
import { CALL_FIRST, whatSlug } from "@pwa/rules/telling.ts";
import { compare, failing } from "@pwa/views/comparison.ts";
import { owed } from "@pwa/views/status.ts";
import { toldWords } from "@pwa/words/told.ts";
import { describe, expect, test } from "vitest";
import { aJob, at, reading } from "./counterStation.ts";
import { textOf } from "./texts.ts";

const NOW = 1_000_000;
const LATER = NOW + 60_000;
const told = (what: string) => ({ ...at(2), channel: "call" as const, what });
const stop = (reason: StopReason) => ({ reason, ...at(1) });
const INCIDENT: Job["incidents"][string] = {
  ...at(1),
  what: "torn_cable",
  where: textOf("button"),
  looked: "yes",
  points: [],
  note: null,
  photos: [],
};
const closed = { ...at(1), photos: [], traces: "removed" as const };

describe("what is owed next", () => {
  const rows: readonly (readonly [string, Partial<Job>, string])[] = [
    ["booked, promise to come: nothing", { promised_at_ms: LATER }, "nothing"],
    ["booked, promise past: a new promise", { promised_at_ms: NOW - 1 }, "promise"],
    ["on the bench, promise past: a new promise", { stage: "bench", promised_at_ms: NOW - 1 }, "promise"],
    [
      "promised anew and not told: the new time",
      { promised_at_ms: LATER, promises: [{ ...at(1), promised_at_ms: LATER, why: textOf("late") }] },
      "tell promise",
    ],
    [
      "promised anew and told: nothing",
      {
        promised_at_ms: LATER,
        promises: [{ ...at(1), promised_at_ms: LATER, why: textOf("late") }],
        told: [told("promise")],
      },
      "nothing",
    ],
    [
      "promised anew twice, told once: the second time",
      {
        promised_at_ms: LATER,
        promises: [1, 2].map((n) => ({ ...at(n), promised_at_ms: LATER, why: textOf("late") })),
        told: [told("promise")],
      },
      "tell promise",
    ],
    ["call first, not begun: nothing yet", { price_limit_minor: CALL_FIRST, promised_at_ms: LATER }, "nothing"],
    [
      "call first, on the bench: the price",
      { stage: "bench", price_limit_minor: CALL_FIRST, promised_at_ms: LATER },
      "tell price",
    ],
    [
      "call first, called: nothing",
      { stage: "bench", price_limit_minor: CALL_FIRST, promised_at_ms: LATER, told: [told("price")] },
      "nothing",
    ],
    ["a limit, on the bench: nothing", { stage: "bench", price_limit_minor: 8000, promised_at_ms: LATER }, "nothing"],
    ["stopped for liquid: the reason", { stage: "stopped", stop: stop("liquid") }, "tell stop"],
    [
      "stopped for another reason than was told: the reason",
      { stage: "stopped", stop: stop("liquid"), told: [told("stop-parts")] },
      "tell stop",
    ],
    [
      "stopped, told, never opened: the device",
      { stage: "stopped", stop: stop("parts"), told: [told("stop-parts")] },
      "hand_over",
    ],
    [
      "stopped, told, open on the bench: nothing",
      { stage: "stopped", stop: stop("liquid"), told: [told("stop-liquid")], steps: { off: at(1) } },
      "nothing",
    ],
    [
      "stopped for liquid again after a lift: the reason again",
      {
        stage: "stopped",
        stop: stop("liquid"),
        lifts: [{ ...at(1), reason: "liquid", plan: "go_on", why: textOf("dry") }],
        told: [told("stop-liquid")],
      },
      "tell stop",
    ],
    ["battery unsafe, not told: the reason", { stage: "stopped", stop: stop("battery"), cell: "swollen" }, "tell stop"],
    [
      "battery unsafe, told, never opened: a lead decides, nobody hands it over",
      { stage: "stopped", stop: stop("battery"), cell: "swollen", told: [told("stop-battery")] },
      "nothing",
    ],
    [
      "battery unsafe and closed up all the same: still a lead decides",
      { stage: "ready", stop: stop("battery"), cell: "hot", leftover: [closed], told: [told("stop-battery")] },
      "nothing",
    ],
    [
      "battery taken out, closed up: to pick it up",
      { stage: "ready", stop: stop("battery"), cell: "out", leftover: [closed], told: [told("stop-battery")] },
      "tell returned",
    ],
    [
      "ready with an incident that no lead has settled: nothing before that",
      { stage: "ready", leftover: [closed], incidents: { "i-1": INCIDENT } },
      "nothing",
    ],
    [
      "ready with a settled incident: that it is ready",
      {
        stage: "ready",
        leftover: [closed],
        incidents: { "i-1": INCIDENT },
        settlements: { "i-1": { ...at(2), owed: "replace", say: textOf("We put a new one in.") } },
      },
      "tell ready",
    ],
    ["ready: that it is ready", { stage: "ready", leftover: [closed] }, "tell ready"],
    ["ready and told: the device", { stage: "ready", leftover: [closed], told: [told("ready")] }, "hand_over"],
    [
      "ready again after more work: that it is ready again",
      { stage: "ready", leftover: [closed, closed], told: [told("ready")] },
      "tell ready",
    ],
    [
      "closed unrepaired: to fetch it",
      { stage: "ready", stop: stop("liquid"), leftover: [closed], told: [told("stop-liquid")] },
      "tell returned",
    ],
    [
      "closed unrepaired and told: the device",
      { stage: "ready", stop: stop("liquid"), leftover: [closed], told: [told("returned")] },
      "hand_over",
    ],
    [
      "ready long after the promise: not a new promise",
      { stage: "ready", promised_at_ms: 1, leftover: [closed], told: [told("ready")] },
      "hand_over",
    ],
    ["handed over: nothing", { stage: "handed_over", promised_at_ms: 1 }, "nothing"],
  ];
  test.each(rows)("%s", (_, changed, expected) => {
    const { act } = owed(aJob(changed), NOW);
    expect(act.do === "tell" ? `tell ${act.telling.kind}` : act.do).toBe(expected);
  });

  test("the sentence names the reason of a stop in the shop's words", () => {
    expect(owed(aJob({ stage: "stopped", stop: stop("liquid") }), NOW).say).toBe("Tell the customer: liquid inside.");
  });
});

describe("what was told", () => {
  test("every slug that is written reads as words", () => {
    const job = aJob({
      lifts: [{ ...at(1), reason: "liquid", plan: "go_on", why: textOf("dry") }],
      leftover: [closed, closed],
    });
    expect(whatSlug(job, { kind: "stop", reason: "liquid" })).toBe("stop-liquid-2");
    expect(toldWords("stop-liquid-2")).toBe("stopped, liquid inside");
    expect(toldWords(whatSlug(job, { kind: "ready" }))).toBe("ready to be picked up");
    expect(toldWords("news")).toBe("how it stands");
  });
});

describe("who may go to the customer", () => {
  const rows: readonly (readonly [string, Partial<Job>, boolean])[] = [
    ["ready", { stage: "ready" }, true],
    ["booked and never opened", {}, true],
    ["stopped and never opened", { stage: "stopped", stop: stop("customer") }, true],
    ["stopped with a step done", { stage: "stopped", stop: stop("liquid"), steps: { off: at(1) } }, false],
    [
      "stopped with a screw in the tray",
      { stage: "stopped", stop: stop("liquid"), ledger: { bottom: { out: 2 } } },
      false,
    ],
    ["on the bench", { stage: "bench" }, false],
    ["handed over already", { stage: "handed_over" }, false],
    ["looked at for safety only, which opens nothing", { steps: { safety: at(1) } }, true],
    ["stopped for its battery, state not said", { stage: "stopped", stop: stop("battery") }, false],
    ["stopped for its battery, swollen", { stage: "stopped", stop: stop("battery"), cell: "swollen" }, false],
    ["ready with an unsafe battery inside", { stage: "ready", stop: stop("parts"), cell: "leaking" }, false],
    ["ready, the unsafe battery taken out", { stage: "ready", stop: stop("battery"), cell: "out" }, true],
  ];
  test.each(rows)("%s", (_, changed, expected) => {
    expect(mayHandOver(aJob(changed))).toBe(expected);
  });
});

describe("by whom a device goes out", () => {
  const rows: readonly (readonly [NonNullable<Job["cell"]>, string])[] = [
    ["swollen", "lead"],
    ["punctured", "nobody"],
    ["hot", "nobody"],
    ["leaking", "nobody"],
  ];
  test.each(rows)("a %s cell inside: %s", (cell, by) => {
    expect(handOverBy(aJob({ stage: "stopped", stop: stop("battery"), cell }))).toBe(by);
  });
  test("once handed over nobody does it again", () => {
    expect(handOverBy(aJob({ stage: "handed_over", stop: stop("battery"), cell: "swollen" }))).toBe("nobody");
  });
});

describe("the comparison", () => {
  test("failing points stand first, ours before what was so before", () => {
    const tests = {
      "intake/touch": reading("fail"),
      "final/touch": reading("fail"),
      "intake/display_image": reading("pass"),
      "final/display_image": reading("pass"),
      "intake/charging": reading("pass"),
      "final/charging": reading("fail"),
      "intake/sim": reading("cannot", "no_sim"),
      "final/sim": reading("cannot", "no_sim"),
    };
    const rows = compare(aJob({ tests }));
    expect(rows.map((r) => `${r.point} ${r.verdict}`)).toEqual([
      "charging ours",
      "touch was_before",
      "sim not_testable",
      "display_image as_before",
    ]);
    expect(rows[2]?.why.intake).toBe("No SIM card");
  });

  test("a point counts by its latest stage: failed at intake, passed at the end is no failure", () => {
    const tests = { "intake/touch": reading("fail"), "final/touch": reading("pass") };
    expect(failing(aJob({ tests }))).toEqual([]);
  });

  test("before the bench the failures of intake stand first", () => {
    const tests = { "intake/display_image": reading("pass"), "intake/sim": reading("fail") };
    expect(compare(aJob({ tests })).map((r) => r.point)).toEqual(["sim", "display_image"]);
  });
});
