import type { StopReason } from "@pwa/events/kinds.gen.ts";
/** views/queue.ts: the order of open jobs, and what holds each up. */

import { docs, state } from "@pwa/current.ts";
import { EMPTY, type Job } from "@pwa/fold/state.ts";
import { derive, type Procedure } from "@pwa/rules/procedure.ts";
import { blocker, openJobs, repairWords } from "@pwa/views/queue.ts";
import quillet from "@shared/procedures/quillet5-display.json";
import { beforeEach, describe, expect, test } from "vitest";
import { aJob, at, know } from "./counterStation.ts";
import { textOf } from "./texts.ts";

const NOW = 10_000;
const shop = (jobs: Readonly<Record<string, Partial<Job>>>): void => {
  state.value = { ...EMPTY, job: new Map(Object.entries(jobs).map(([code, changed]) => [code, aJob(changed)])) };
};
const stop = (reason: StopReason) => ({ reason, ...at(1) });
const told = (what: string) => ({ ...at(2), channel: "call" as const, what });
const WAY = quillet as unknown as Procedure;
const upTo = (id: string): Job["steps"] => {
  const steps = derive(WAY);
  return Object.fromEntries(
    steps
      .slice(
        0,
        steps.findIndex((s) => s.id === id),
      )
      .map((s) => [s.id, at(1)]),
  );
};

beforeEach(() => {
  docs.value = new Map();
  know({ id: "procedure:quillet5-display.1", kind: "procedure", body: WAY });
});

test("a row is told from the next by its repair, or by the complaint until one is chosen", () => {
  expect(repairWords(aJob({ procedure: WAY.id, complaint: textOf("Dark") }))).toBe(WAY.title);
  expect(repairWords(aJob({ procedure: null, complaint: textOf("Dark") }))).toBe("“Dark”");
});

describe("the order", () => {
  test("late first, then by promise, last those that only wait for the customer", () => {
    shop({
      JWAITS: { stage: "ready", promised_at_ms: 1, told: [told("ready")] },
      JTOMORROW: { promised_at_ms: NOW + 200 },
      JSOON: { stage: "bench", promised_at_ms: NOW + 100 },
      JLATE: { promised_at_ms: NOW - 10 },
      JLATER: { stage: "bench", promised_at_ms: NOW - 20 },
      JDONE: { stage: "handed_over", promised_at_ms: 1 },
      JREADY: { stage: "ready", promised_at_ms: NOW + 50 },
    });
    expect(openJobs(NOW, null).map((o) => o.code)).toEqual([
      "JLATER",
      "JLATE",
      "JREADY",
      "JSOON",
      "JTOMORROW",
      "JWAITS",
    ]);
    expect(
      openJobs(NOW, null)
        .filter((o) => o.late)
        .map((o) => o.code),
    ).toEqual(["JLATER", "JLATE"]);
  });
  test("a ready job is never late, whatever was promised", () => {
    shop({ JREADY: { stage: "ready", promised_at_ms: 1 } });
    expect(openJobs(NOW, null)[0]?.late).toBe(false);
  });
  test("a filter leaves one stage", () => {
    shop({ JA: { promised_at_ms: 1 }, JB: { stage: "bench", promised_at_ms: 1 } });
    expect(openJobs(NOW, "bench").map((o) => o.code)).toEqual(["JB"]);
  });
  test("a record that another station's event only named is no job yet", () => {
    shop({ JA: { booked: false } });
    expect(openJobs(NOW, null)).toEqual([]);
  });
});

describe("what holds it up", () => {
  const work = (next: string, changed: Partial<Job> = {}): Partial<Job> => ({
    stage: "bench",
    procedure: "quillet5-display",
    steps: upTo(next),
    ...changed,
  });
  const withPart = { parts: { P7K2000010: at(1) } };
  const rows: readonly (readonly [string, Partial<Job>])[] = [
    ["Not started, no procedure chosen", {}],
    ["Not started", { procedure: "quillet5-display" }],
    ["Liquid inside, customer not told", { stage: "stopped", stop: stop("liquid") }],
    [
      "Liquid inside, still open on the bench",
      { stage: "stopped", stop: stop("liquid"), told: [told("stop-liquid")], steps: { off: at(1) } },
    ],
    ["Part not available, to hand back", { stage: "stopped", stop: stop("parts"), told: [told("stop-parts")] }],
    ["Customer not told", { stage: "ready" }],
    ["Waits for the customer", { stage: "ready", told: [told("ready")] }],
    ["In work", { stage: "bench", procedure: "unknown-here" }],
    ["At: Look for liquid", work("liquid")],
    ["No part yet", work("trial-plug")],
    ["Waits for the pre-fit test", work("prefit", withPart)],
    [
      "New part failed, try 2",
      work("prefit", {
        ...withPart,
        tries: [{ ...at(1), try: 2, part: "P7K2000010", action: "reseat", outcome: "fail", failed: ["touch"] }],
      }),
    ],
    ["Waits for the final test", work("final", withPart)],
  ];
  test.each(rows)("%s", (expected, changed) => {
    shop({});
    expect(blocker(aJob(changed))).toBe(expected);
  });
  test("a device in two places comes before everything else", () => {
    const heads = { "7K2.1": { to: "shelf", ...at(1), why: null }, "8M3.1": { to: "bench", ...at(1), why: null } };
    const thing = { heads } as unknown as NonNullable<ReturnType<typeof state.value.thing.get>>;
    state.value = { ...EMPTY, thing: new Map([["D7K2000010", thing]]) };
    expect(blocker(aJob({ device: "D7K2000010" }))).toBe("Two records disagree where the device is");
  });
});
