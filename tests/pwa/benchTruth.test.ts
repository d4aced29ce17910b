/** What the record says at the bench: doubtful units, the complaint, traces of tests, a changed lock, the test after the glue. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { openAgain } from "@pwa/actions/bench.ts";
import { acceptPart, checkComplaint, stopUncured } from "@pwa/actions/complaint.ts";
import { closeJob, closeTests, recheck } from "@pwa/actions/gates.ts";
import { judgeDoubtful } from "@pwa/actions/judge.ts";
import { changeLock } from "@pwa/actions/lock.ts";
import { moved } from "@pwa/actions/move.ts";
import { assignPart, closeTry, type Tryout } from "@pwa/actions/prefit.ts";
import { stopJob } from "@pwa/actions/stop.ts";
import { readLacking, readLocked, readTest } from "@pwa/actions/tests.ts";
import { bind } from "@pwa/actions/tray.ts";
import { mint } from "@pwa/codes/codes.ts";
import { signedOn, state } from "@pwa/current.ts";
import { type Booking, isExpected, lackingPoints } from "@pwa/facts/booking.ts";
import { presentTry } from "@pwa/facts/prefit.ts";
import { said } from "@pwa/facts/texts.ts";
import { placeOfCode } from "@pwa/facts/things.ts";
import { benchOf } from "@pwa/facts/work.ts";
import type { Thing } from "@pwa/fold/state.ts";
import type { Result } from "@pwa/problem.ts";
import { fittedPart } from "@pwa/rules/bench.ts";
import { fits } from "@pwa/rules/boxes.ts";
import { complaintCured } from "@pwa/rules/complaint.ts";
import { knownOf, lackingOf } from "@pwa/rules/lacking.ts";
import { isBarred } from "@pwa/rules/locked.ts";
import { prefitPoints } from "@pwa/rules/prefit.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { recheckOf } from "@pwa/rules/recheck.ts";
import { openFinal, pointsOf } from "@pwa/rules/tests.ts";
import { tracesOf } from "@pwa/rules/traces.ts";
import { lackingWhy, testPoints } from "@pwa/tables/testPoints.ts";
import { longParts } from "@pwa/views/shopRecord.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { BRACKETS, DEVICE, DISPLAY, JOB, TRAY } from "./benchKit.ts";
import { emptyStation, job, OTHER_JOB, open, slug, workUntil as toStep } from "./benchStation.ts";
import { linesOf } from "./recordParts.ts";

const [A, B, C] = [1, 2, 3].map((n) => mint("P", "7K2", 100 + n).code) as [string, string, string];
const LOTS: Readonly<Record<string, string>> = { [A]: "L1", [B]: "L1", [C]: "L2" };

/** Nothing to open: the test after the glue, then the end. */
const GLUED: Procedure = {
  ...BRACKETS,
  id: "glued",
  fasteners: [],
  connectors: [],
  in: [
    {
      id: "after",
      title: "Once more",
      say: ["x"],
      tools: [],
      cautions: [],
      gate: "recheck",
      points: ["touch", "wifi", "sim"],
    },
  ],
};

const verdict = (part: string): Thing["verdict"] | undefined => state.value.thing.get(part)?.verdict;
const place = (code: string): unknown => placeOfCode(code);
beforeEach(async () => {
  await emptyStation([DISPLAY, GLUED]);
  const body = {
    card: "a".repeat(20), contact: "b".repeat(20), model: "Quillet 5", complaint: "No picture", lock: "unlocked" as const,
    consents: [], promised_at_ms: 1,
  }; // biome-ignore format: one booking
  await act(() => [
    { kind: "job.booked", job: JOB, body: { ...body, device: DEVICE, ticket: "0".repeat(26) } },
    {
      kind: "job.booked",
      job: OTHER_JOB,
      body: { ...body, device: mint("D", "7K2", 61).code, ticket: "1".repeat(26) },
    },
    ...[A, B, C].map((part) => ({
      kind: "part.received" as const,
      body: {
        part, name: "Display", part_kind: DISPLAY.part.kind, supplier: "north", lot: LOTS[part] as string,
        shipping_caution: "none" as const,
      },
    })), // biome-ignore format: one part
  ]);
});

const workUntil = (id: string): Promise<void> =>
  toStep(id, {
    prefit: async (step) => {
      await assignPart(JOB, A);
      await tryIt([]);
      return acceptPart(JOB, step, "yes", "");
    },
  });

/** Read every point of the try that is under way and close it. */
async function tryIt(
  failing: readonly string[],
  tryout?: Tryout,
  cannot: readonly string[] = [],
): Promise<Result<unknown>> {
  const bench = benchOf(JOB);
  if (!bench.ok || bench.value.open === null) throw new Error("no step");
  const points = prefitPoints(DISPLAY, bench.value.open);
  const { number } = presentTry(job(), points, tryout?.action ?? null);
  for (const point of points) {
    const result = failing.includes(point) ? "fail" : cannot.includes(point) ? "cannot" : "pass";
    await readTest(JOB, "prefit", { point, result, why: result === "cannot" ? "no way" : "", try: number });
  }
  return closeTry(JOB, "prefit", tryout);
}

describe("board only when proven", () => {
  beforeEach(async () => {
    await bind(TRAY, JOB, DISPLAY.id);
    await workUntil("prefit");
    await assignPart(JOB, A);
    await tryIt(["touch"]);
    await tryIt(["touch"]);
  });
  /** A second unit of the same lot fails as the first did. */
  const second = async (): Promise<void> => {
    await assignPart(JOB, B);
    expect(await tryIt(["touch"])).toMatchObject({ value: { next: "other_lot", or: ["known_good", "old_part"] } });
  };

  test("a unit that is set aside stands as doubtful, off the shelf, and is taken by no other job and no box", async () => {
    expect([verdict(A), place(A)]).toEqual(["doubtful", { kind: "at", to: "bench" }]);
    await bind(mint("T", "7K2", 62).code, OTHER_JOB, DISPLAY.id);
    expect(slug(await assignPart(OTHER_JOB, A))).toBe("part-doubtful");
    expect(slug(await assignPart(JOB, A))).toBe("part-tried");
    const box = { code: "B", supplier: "north", purpose: "doa", opened: 1, sealed: null, count: 0 };
    const thing = { ...(state.value.thing.get(A) as Thing), code: A };
    expect(fits(box, thing, { kind: "at", to: "bench" })).toBe("part-doubtful");
  });

  test("two units of one lot stop nothing; a unit of another lot with the same fault stops the job, and all stay doubtful", async () => {
    await second();
    expect(job().stop).toBeNull();
    const third = mint("P", "7K2", 110).code;
    await act(() => [
      { kind: "part.received", body: { part: third, name: "Display", part_kind: DISPLAY.part.kind, supplier: "north", lot: "L1", shipping_caution: "none" } },
    ]); // biome-ignore format: one part
    expect(slug(await assignPart(JOB, third))).toBe("part-same-lot");
    expect(slug(await assignPart(JOB, C))).toBe("ok");
    expect(await tryIt(["touch"])).toMatchObject({ value: { next: "board" } });
    expect(job().stop?.reason).toBe("board");
    expect([A, B, C].map(verdict)).toEqual(["doubtful", "doubtful", "doubtful"]);
    expect([A, B, C].map(place)).toEqual(Array(3).fill({ kind: "at", to: "bench" }));
  });

  test("a unit of another lot that works makes the doubtful ones dead on arrival", async () => {
    await second();
    await assignPart(JOB, C);
    expect(await tryIt([])).toMatchObject({ value: { next: "pass" } });
    expect([A, B, C].map(verdict)).toEqual(["doa", "doa", "good"]);
    expect(fittedPart(job())).toBe(C);
  });

  test("a known-good unit without a label clears the board, and is never the part that is fitted", async () => {
    await second();
    expect(await tryIt([], { action: "known_good", part: null })).toMatchObject({ value: { next: "other_lot" } });
    expect(job().tries.at(-1)).toMatchObject({ action: "known_good", part: null, outcome: "pass" });
    expect([[A, B].map(verdict), job().stop, open()]).toEqual([["doa", "doa"], null, "prefit"]);
    expect(fittedPart(job())).not.toBeNull();
    await assignPart(JOB, C);
    await tryIt([]);
    expect([fittedPart(job()), verdict(C)]).toEqual([C, "good"]);
    expect(linesOf(longParts(JOB, job(), []), "Tries before fitting")[3]).toMatch(
      /^Try 4, a unit known to be good: passed \(/,
    );
  });

  test("the old part proves the board only by a point that worked at intake, and must say something of what is in dispute", async () => {
    await readTest(JOB, "intake", { point: "touch", result: "fail" });
    await second();
    const old = { action: "old_part" as const, part: null };
    expect(slug(await tryIt([], old, ["touch"]))).toBe("prefit-open");
    expect(await tryIt(["touch"], old)).toMatchObject({ value: { next: "other_lot", or: ["known_good"] } });
    await readTest(JOB, "intake", { point: "touch", result: "pass" });
    expect(presentTry(job(), [], null).say).toContain("on the board");
  });

  test("a job that is stopped by hand puts a unit that failed apart, and one that was not tried back on the shelf", async () => {
    await assignPart(JOB, B);
    await tryIt(["display_light"]);
    expect(verdict(B)).toBeNull();
    await act(() => [{ kind: "part.assigned", job: JOB, body: { part: C } }, moved(C, JOB)]);
    await stopJob(JOB, "parts", "none here");
    await workUntil("leftover");
    expect(slug(await closeJob(JOB, "leftover", true, [], "none"))).toBe("ok");
    expect([B, C].map((p) => [verdict(p), place(p)])).toEqual([
      ["doubtful", { kind: "at", to: "bench" }],
      [null, { kind: "at", to: "shelf" }],
    ]);
  });

  test("a lead settles a doubtful unit, with a reason", async () => {
    expect(slug(await judgeDoubtful(A, "good", "works in the test device"))).toBe("lead-only");
    signedOn.value = "W002";
    expect(slug(await judgeDoubtful(A, "good", " "))).toBe("why-missing");
    expect(slug(await judgeDoubtful(A, "good", "works in the test device"))).toBe("ok");
    expect(slug(await judgeDoubtful(A, "doa", "again"))).toBe("part-not-doubtful");
    expect(verdict(A)).toBe("good");
  });
});

describe("the complaint", () => {
  beforeEach(async () => {
    await bind(TRAY, JOB, DISPLAY.id);
  });

  test("a part that does not cure it is fitted only for a reason", async () => {
    await workUntil("prefit");
    await assignPart(JOB, A);
    await tryIt([]);
    expect(slug(await acceptPart(JOB, "prefit", "no", " "))).toBe("complaint-why-missing");
    expect(open()).toBe("prefit");
    expect(slug(await acceptPart(JOB, "prefit", "no", "glass is wanted all the same"))).toBe("ok");
    const check = job().complaint_checks["prefit/1"];
    expect([check?.cured, said(check?.note ?? null)]).toEqual(["no", "glass is wanted all the same"]);
    expect([open(), complaintCured(job())]).toEqual(["trial-power", null]);
  });

  test("or the job stops, the part goes back to the shelf, and what was found stands on the stop", async () => {
    await workUntil("prefit");
    expect(slug(await stopUncured(JOB, "prefit", ""))).toBe("prefit-open");
    await assignPart(JOB, A);
    await tryIt([]);
    expect(slug(await stopUncured(JOB, "prefit", "no light on the board"))).toBe("ok");
    expect([job().stop?.reason, job().steps.prefit]).toEqual(["other", undefined]);
    await workUntil("leftover");
    await closeJob(JOB, "leftover", true, [], "none");
    expect([verdict(A), place(A)]).toEqual(["good", { kind: "at", to: "shelf" }]);
  });

  test("is asked in each round of the final test; every answer but yes says what is left", async () => {
    await workUntil("final");
    for (const point of pointsOf("final")) await readTest(JOB, "final", { point, result: "pass" });
    expect(slug(await closeTests(JOB, "final"))).toBe("complaint-open");
    for (const cured of ["no", "unknown"] as const)
      expect(slug(await checkComplaint(JOB, "final", cured, ""))).toBe("complaint-why-missing");
    expect(slug(await checkComplaint(JOB, "final", "unknown", "comes only when warm"))).toBe("ok");
    expect([complaintCured(job()), slug(await closeTests(JOB, "final"))]).toEqual(["unknown", "ok"]);
    await workUntil("leftover");
    await closeJob(JOB, "leftover", true, [], "removed");
    await openAgain(JOB);
    expect(complaintCured(job())).toBeNull();
    await checkComplaint(JOB, "final", "yes", "");
    expect([complaintCured(job()), Object.keys(job().complaint_checks)]).toEqual([
      "yes",
      ["prefit/1", "final/1", "final/2"],
    ]);
  });
});

describe("traces of tests", () => {
  test("the device is not ready before they are taken off or there were none", async () => {
    await bind(TRAY, JOB, DISPLAY.id);
    await workUntil("leftover");
    expect(slug(await closeJob(JOB, "leftover", true, [], null))).toBe("traces-open");
    expect(slug(await closeJob(JOB, "leftover", true, [], "removed"))).toBe("ok");
    expect(job().leftover.at(-1)?.traces).toBe("removed");
  });

  test("each is listed once, with the points that leave it, and only what was tested", async () => {
    for (const point of ["rear_camera", "flash", "wifi"]) await readTest(JOB, "intake", { point, result: "pass" });
    await readTest(JOB, "intake", { point: "bluetooth", result: "cannot", why: "none here" });
    expect(tracesOf(job()).map((t) => [t.what, t.points])).toEqual([
      ["test pictures", ["Rear camera", "Flash"]],
      ["the shop's network", ["Wireless network"]],
    ]);
  });

  test("a device that was never unlocked has none", async () => {
    await readTest(JOB, "intake", { point: "wifi", result: "pass" });
    expect(tracesOf({ ...job(), lock: "locked" })).toEqual([]);
    await changeLock(JOB, "locked", "restarted");
    expect(tracesOf(job())).toHaveLength(1);
  });

  test("every way to test a locked device leaves none", () => {
    for (const [point, row] of Object.entries(testPoints))
      if (row.leaves !== undefined) expect(row.locked.test, point).not.toBe("usual");
  });
});

describe("a lock that changes", () => {
  test("needs a reason, is kept, and the points follow", async () => {
    await bind(TRAY, JOB, DISPLAY.id);
    await workUntil("final");
    expect(slug(await changeLock(JOB, "locked", " "))).toBe("why-missing");
    expect(slug(await changeLock(JOB, "unlocked", "x"))).toBe("lock-same");
    expect(slug(await changeLock(JOB, "locked", "It was restarted and asks for the code"))).toBe("ok");
    const barred = openFinal(job()).filter(isBarred);
    await readLocked(JOB, "final", barred);
    expect(openFinal(job()).some(isBarred)).toBe(false);
    await changeLock(JOB, "unlocked", "The customer unlocked it");
    expect(openFinal(job()).filter(isBarred)).toEqual(barred);
    expect(job().lock_changes.map((c) => [c.lock, said(c.why)])).toEqual([
      ["locked", "It was restarted and asks for the code"],
      ["unlocked", "The customer unlocked it"],
    ]);
    expect(linesOf(longParts(JOB, job(), []), "Lock")).toHaveLength(2);
  });

  test("ends with the job", async () => {
    await act(() => [{ kind: "job.handed_over", job: JOB, body: { device: DEVICE, checked: "scanned" } }]);
    expect(slug(await changeLock(JOB, "locked", "x"))).toBe("job-closed");
  });
});

describe("once more after the glue", () => {
  const step = { points: ["touch", "wifi", "sim"] };
  const results = { touch: "pass", wifi: "pass", sim: "fail" } as const;
  beforeEach(async () => {
    await bind(TRAY, JOB, GLUED.id);
    await workUntil("after");
    await readTest(JOB, "intake", { point: "touch", result: "fail" });
    await readTest(JOB, "intake", { point: "sim", result: "fail" });
    for (const [point, result] of Object.entries(results)) await readTest(JOB, "final", { point, result });
    expect(slug(await recheck(JOB, "after"))).toBe("tests-open");
    for (const point of pointsOf("final"))
      if (!Object.hasOwn(results, point)) await readTest(JOB, "final", { point, result: "pass" });
    expect(slug(await recheck(JOB, "after"))).toBe("complaint-open");
    await checkComplaint(JOB, "after", "yes", "");
  });

  test("one press: all that worked works still, and what did not work is not asked", async () => {
    expect(recheckOf(job(), GLUED, step)).toEqual({ asked: ["touch", "wifi"], against: [], left: ["sim"] });
    expect(slug(await recheck(JOB, "after"))).toBe("ok");
    expect(job().rechecks).toMatchObject([{ round: 1, points: ["touch", "wifi"] }]);
    expect(open()).not.toBe("after");
  });

  test("a point that fails now keeps the gate shut until it works, also one that had failed at intake", async () => {
    for (const point of ["wifi", "touch"]) {
      expect(slug(await recheck(JOB, "after", [point]))).toBe("ok");
      expect(job().tests[`final/${point}`]?.result).toBe("fail");
      expect(await recheck(JOB, "after")).toMatchObject({ problem: { slug: "test-blocks" } });
      expect(recheckOf(job(), GLUED, step).against).toEqual([point]);
      await readTest(JOB, "final", { point, result: "pass" });
    }
    expect(slug(await recheck(JOB, "after"))).toBe("ok");
  });
});

describe("what a model has none of", () => {
  test("is known from its last device here, and entered in one press at the end", async () => {
    await readTest(OTHER_JOB, "intake", { point: "pen", result: "cannot", why: lackingWhy });
    await readTest(OTHER_JOB, "intake", { point: "headset", result: "cannot", why: "Nothing here to test it with" });
    await readTest(OTHER_JOB, "intake", { point: "fingerprint", result: "fail" });
    const known = knownOf(" quillet 5 ", state.value.job.values());
    expect([[...known.has], [...known.lacks]]).toEqual([["fingerprint"], ["pen"]]);
    expect([...knownOf("Quillet 6", state.value.job.values()).has]).toEqual([]);
    expect(lackingOf(job(OTHER_JOB), pointsOf("final"))).toEqual(["pen"]);
    const draft = { model: "Quillet 5", lock: "unlocked", tests: {} } as unknown as Booking;
    expect(lackingPoints(draft)).toEqual(["pen"]);
    // A press for a whole group answers what every model has, and what this one had: nothing is said of a point that it may not have.
    const expected = ["touch", "fingerprint", "pen", "headset", "hinge"].map((p) => isExpected(draft, p));
    expect(expected).toEqual([true, true, false, false, false]);
    await readLacking(OTHER_JOB, "final", ["pen"]);
    expect(job(OTHER_JOB).tests["final/pen"]).toMatchObject({ result: "cannot", because: "lacking", why: null });
  });
});
