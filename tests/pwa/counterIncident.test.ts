/** actions/incident.ts: what went wrong by us, who settles it, and what follows for the final test. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { type IncidentEntry, noteIncident, settleIncident } from "@pwa/actions/incident.ts";
import { state } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import type { Job } from "@pwa/fold/state.ts";
import { withDb } from "@pwa/log/db.ts";
import type { Result } from "@pwa/problem.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { blockingFinal } from "@pwa/rules/tests.ts";
import { INCIDENT_TITLE } from "@pwa/views/outcome.ts";
import { customerSheet } from "@pwa/views/record.ts";
import { longParts } from "@pwa/views/shopRecord.ts";
import display from "@shared/procedures/quillet5-display.json";
import { beforeEach, describe, expect, test } from "vitest";
import { aJob, at, newStation, reading } from "./counterStation.ts";
import { linesOf } from "./recordParts.ts";
import { textOf } from "./texts.ts";

const CODE = "J7K20000AB";
const DISPLAY = display as unknown as Procedure;
const TORN: IncidentEntry = {
  what: "torn_cable",
  where: "cable of the button",
  looked: "yes",
  points: ["fingerprint"],
  note: "Pulled while cold",
  photos: [],
};
const slug = (result: Result<unknown>): string => (result.ok ? "ok" : result.problem.slug);
const job = () => state.value.job.get(CODE) as Job;
const only = (): string => Object.keys(job().incidents)[0] as string;

async function started(role: "counter" | "lead"): Promise<void> {
  await newStation(role);
  await act(() => [{ kind: "job.started", job: CODE, body: { procedure: "quillet5-display", revision: 1 } }]);
}

describe("noting and settling", () => {
  beforeEach(() => started("lead"));

  test("whoever sees it notes it; two of one job stand beside each other", async () => {
    expect(slug(await noteIncident(CODE, TORN))).toBe("ok");
    expect(slug(await noteIncident(CODE, { ...TORN, what: "scratch", where: "back", points: [] }))).toBe("ok");
    expect(
      Object.values(job().incidents).map((i) => [i.what, said(i.where), i.looked, i.points, said(i.note)]),
    ).toEqual([
      ["torn_cable", "cable of the button", "yes", ["fingerprint"], "Pulled while cold"],
      ["scratch", "back", "yes", [], "Pulled while cold"],
    ]);
    expect(job().findings).toEqual([]);
  });
  test.each([
    [{ what: null }, "What went wrong."],
    [{ where: "  " }, "Where it is."],
    [{ looked: null }, "Whether the place was looked at."],
  ])("what, where and the look are needed: %o", async (left, missing) => {
    const count = await withDb((db) => db.own.count());
    expect(await noteIncident(CODE, { ...TORN, ...left })).toMatchObject({
      ok: false,
      problem: { slug: "answer-missing", detail: missing },
    });
    expect(await withDb((db) => db.own.count())).toBe(count);
  });
  test("a lead says what is owed and what was said, and neither is left out", async () => {
    await noteIncident(CODE, TORN);
    expect(slug(await settleIncident(CODE, only(), null, "We are sorry"))).toBe("answer-missing");
    expect(slug(await settleIncident(CODE, only(), "replace", " "))).toBe("answer-missing");
    expect(slug(await settleIncident(CODE, "i-other", "replace", "We are sorry"))).toBe("code-unknown");
    expect(slug(await settleIncident(CODE, only(), "replace", "We are sorry"))).toBe("ok");
    const settled = job().settlements[only()];
    expect([settled?.owed, said(settled?.say ?? null)]).toEqual(["replace", "We are sorry"]);
  });
  test("nobody else settles it", async () => {
    await started("counter");
    await noteIncident(CODE, TORN);
    expect(slug(await settleIncident(CODE, only(), "replace", "We are sorry"))).toBe("lead-only");
  });
  test("the shop's record has the look and the note, the customer's the words that were said", async () => {
    await noteIncident(CODE, TORN);
    expect(ours(job())[0]).toContain("not decided yet");
    await settleIncident(CODE, only(), "replace", "A new button, free of charge");
    expect(ours(job())[0]).toBe(
      "A cable was torn: cable of the button. It concerns: Fingerprint reader. What we owe you: we replace what was damaged. “A new button, free of charge”",
    );
    expect(linesOf(longParts(CODE, job(), []), "Our own incidents").join("\n")).toMatch(
      /hole and board looked at; .*Pulled while cold[\s\S]*Owed: replace what was damaged/,
    );
  });
});

describe("the final test", () => {
  const noted: Job["incidents"][string] = {
    ...at(1),
    what: "torn_cable",
    where: textOf("button"),
    looked: "yes",
    points: ["fingerprint"],
    note: null,
    photos: [],
  };
  const settlements = { "i-1": { ...at(2), owed: "replace" as const, say: textOf("Sorry") } };
  const cases: readonly (readonly [string, Job["tests"]])[] = [
    ["ours, a lost pair", { "intake/fingerprint": reading("pass"), "final/fingerprint": reading("fail") }],
    [
      "assembly",
      {
        "intake/fingerprint": reading("fail"),
        "prefit/fingerprint": reading("pass"),
        "final/fingerprint": reading("fail"),
      },
    ],
    ["not known before", { "intake/fingerprint": reading("cannot"), "final/fingerprint": reading("fail") }],
  ];
  test.each(cases)("%s blocks until a lead has settled the incident that names it", (_, tests) => {
    const harmed = { tests, incidents: { "i-1": noted } };
    expect(blockingFinal(aJob({ tests }), DISPLAY)).toEqual(["fingerprint"]);
    expect(blockingFinal(aJob(harmed), DISPLAY)).toEqual(["fingerprint"]);
    expect(blockingFinal(aJob({ ...harmed, settlements }), DISPLAY)).toEqual([]);
  });
  test("another point than the incident's goes on blocking", () => {
    const tests = { "intake/touch": reading("pass"), "final/touch": reading("fail") };
    expect(blockingFinal(aJob({ tests, incidents: { "i-1": noted }, settlements }), DISPLAY)).toEqual(["touch"]);
  });
  test("the record goes on to say that it worked when it came in and fails now", () => {
    const tests = { "intake/fingerprint": reading("pass"), "final/fingerprint": reading("fail") };
    const record = aJob({ tests, incidents: { "i-1": noted }, settlements });
    expect(customerSheet(CODE, record).rows[0]?.says).toBe("Worked when it came in, fails now.");
    expect(ours(record)).toHaveLength(1);
  });
});

/** What went wrong in our work, as the customer reads it. */
const ours = (job: Job): readonly string[] => linesOf(customerSheet(CODE, job).parts, INCIDENT_TITLE);
