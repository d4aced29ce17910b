import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { finishStep, openAgain, takeBack, takeOver } from "@pwa/actions/bench.ts";
import { acceptPart, checkComplaint } from "@pwa/actions/complaint.ts";
import {
  bringToSafePlace,
  checkSafety,
  closeJob,
  closeTests,
  containCell,
  inspectLiquid,
  isolatePower,
  leaveCore,
  packCore,
  tagCell,
  tagCore,
  unplugUnsafe,
} from "@pwa/actions/gates.ts";
import { enterLoss } from "@pwa/actions/ledger.ts";
import { moved } from "@pwa/actions/move.ts";
import { assignPart, closeTry } from "@pwa/actions/prefit.ts";
import { checkStatic } from "@pwa/actions/staticCheck.ts";
import { goOnAfterLift, liftStop, stopJob } from "@pwa/actions/stop.ts";
import { readTest } from "@pwa/actions/tests.ts";
import { bind, jobForTray, mayBind, scanForStart } from "@pwa/actions/tray.ts";
import { mint } from "@pwa/codes/codes.ts";
import { docs, signedOn, state } from "@pwa/current.ts";
import { said } from "@pwa/facts/texts.ts";
import { jobOfTray, placeOfCode } from "@pwa/facts/things.ts";
import type { Result } from "@pwa/problem.ts";
import { afterLift } from "@pwa/rules/bench.ts";
import { esdChecks, readOhms } from "@pwa/rules/esd.ts";
import { finalRound, openFinal, pointsOf, verdictOf } from "@pwa/rules/tests.ts";
import { earlierRounds } from "@pwa/views/comparison.ts";
import { readJobEvents } from "@pwa/views/jobEvents.ts";
import { jobChecks, standing } from "@pwa/views/staticChecks.ts";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { DEVICE, DISPLAY, JOB, PART, PHOTO, SECOND_PART, TRAY } from "./benchKit.ts";
import {
  begin,
  blankStation,
  dry,
  job,
  kindsOf,
  OTHER_DEVICE,
  OTHER_JOB,
  OTHER_TRAY,
  open,
  readAll,
  slug,
  WRONG_PART,
  workUntil,
} from "./benchStation.ts";

beforeEach(blankStation);

const lastNote = (): string | null => said(job().notes.at(-1)?.note ?? null);

describe("binding a tray", () => {
  test("tray, device and start are written together, and the bench opens at the first step", async () => {
    expect(jobForTray(DEVICE)).toEqual({ ok: true, value: JOB });
    expect(kindsOf((await begin()) as Result<readonly { kind: string }[]>)).toEqual([
      "thing.moved",
      "thing.moved",
      "job.started",
    ]);
    expect(jobOfTray(TRAY)).toBe(JOB);
    expect(placeOfCode(DEVICE)).toEqual({ kind: "at", to: TRAY });
    expect([job().stage, job().procedure, job().bench_staff, open()]).toEqual(["bench", DISPLAY.id, "W001", "safety"]);
  });

  test("another device beside a waiting job is refused, its own is confirmed", () => {
    expect(scanForStart(JOB, TRAY)).toEqual({ ok: true, value: { tray: TRAY } });
    expect(scanForStart(JOB, DEVICE)).toEqual({ ok: true, value: { tray: null } });
    expect(slug(scanForStart(JOB, OTHER_DEVICE))).toBe("device-not-of-job");
    expect(slug(scanForStart(JOB, PART))).toBe("code-unknown");
  });

  test("a job without a procedure is not begun", async () => {
    expect(slug(await bind(TRAY, JOB, null))).toBe("no-procedure");
    expect(jobOfTray(TRAY)).toBeNull();
  });

  test("a tray of another open job is refused by that job's name", async () => {
    await bind(TRAY, OTHER_JOB, DISPLAY.id);
    const refused = await begin();
    expect(refused).toMatchObject({ ok: false, problem: { slug: "tray-in-use" } });
    expect(refused.ok ? "" : refused.problem.detail).toContain(`${OTHER_JOB.slice(0, 5)} ${OTHER_JOB.slice(5)}`);
  });

  test("a job with a tray takes no second one", async () => {
    await begin();
    expect(slug(mayBind(OTHER_TRAY, JOB))).toBe("job-has-tray");
    expect(slug(mayBind(TRAY, JOB))).toBe("ok");
  });

  test("a job that was handed over takes no tray, and its old tray is free", async () => {
    await begin();
    await stopJob(JOB, "customer", "called off");
    await act(() => [{ kind: "job.handed_over", job: JOB, body: { device: DEVICE, checked: "scanned" } }]);
    expect(slug(mayBind(OTHER_TRAY, JOB))).toBe("job-closed");
    expect(slug(mayBind(TRAY, OTHER_JOB))).toBe("ok");
  });

  test("a tray whose place clashes is refused until it is settled", async () => {
    await begin();
    await act(() => [{ kind: "thing.moved", body: { thing: TRAY, to: "shelf", after: [] } }]);
    expect(slug(mayBind(TRAY, OTHER_JOB))).toBe("code-clash");
  });
});

describe("steps", () => {
  test("a step and what it books are one writing", async () => {
    await begin();
    await workUntil("latch");
    expect(kindsOf(await finishStep(JOB, "latch"))).toEqual(["fastener.removed", "step.done"]);
    expect(job().ledger.latch).toEqual({ out: 2 });
  });

  test("a press that comes twice before it is done is one", async () => {
    await begin();
    await workUntil("latch");
    const [one, other] = await Promise.all([finishStep(JOB, "latch"), finishStep(JOB, "latch")]);
    expect(other).toEqual(one);
    expect(job().ledger.latch).toEqual({ out: 2 });
    await workUntil("liquid");
    await Promise.all([inspectLiquid(JOB, "liquid", dry), inspectLiquid(JOB, "liquid", dry)]);
    expect(job().liquid).toHaveLength(1);
    await workUntil("cables");
    await finishStep(JOB, "cables");
    await Promise.all([takeBack(JOB), takeBack(JOB)]);
    expect(open()).toBe("cables");
    await workUntil("prefit");
    await Promise.all([assignPart(JOB, PART), assignPart(JOB, PART)]);
    expect(Object.keys(state.value.thing.get(PART)?.heads ?? {})).toHaveLength(1);
    await readAll(1, ["touch"]);
    await Promise.all([closeTry(JOB, "prefit"), closeTry(JOB, "prefit")]);
    expect(job().tries).toHaveLength(1);
  });

  test("taking back books the other way round, as often as one likes", async () => {
    await begin();
    await workUntil("cables");
    for (let n = 0; n < 3; n += 1) {
      await finishStep(JOB, "cables");
      expect(kindsOf(await takeBack(JOB))).toEqual([...Array(3).fill("connector.plugged"), "step.undone"]);
    }
    expect(open()).toBe("cables");
    expect(job().connectors.panel).toEqual({ out: 3, back: 3 });
    expect(kindsOf(await takeBack(JOB))).toEqual(["fastener.returned", "fastener.returned", "step.undone"]);
    expect(job().ledger["shield-short"]).toEqual({ out: 3, back: 3 });
  });

  test("fewer screws than expected are booked as found, with a note, and taken back as booked", async () => {
    await begin();
    await workUntil("latch");
    await finishStep(JOB, "latch", { latch: 1 });
    expect(job().ledger.latch).toEqual({ out: 1 });
    expect(lastNote()).toBe("1 of 2 Latch screws found at opening");
    await takeBack(JOB);
    expect(job().ledger.latch).toEqual({ out: 1, back: 1 });
  });

  test("taking over needs one press and is on the record", async () => {
    await begin();
    signedOn.value = "W002";
    expect(slug(await takeOver(JOB))).toBe("ok");
    expect(job().bench_staff).toBe("W002");
  });

  test("nobody signed on writes nothing", async () => {
    signedOn.value = null;
    expect(slug(await begin())).toBe("not-signed-on");
  });

  test("a loss needs its reason and a screw in the tray", async () => {
    await begin();
    await workUntil("warm");
    const entry = { group: "latch", count: 1, what: "lost" as const, why: "", replaced: 0, replacedBy: "" };
    expect(slug(await enterLoss(JOB, entry))).toBe("why-missing");
    expect(slug(await enterLoss(JOB, { ...entry, why: "fell", count: 3 }))).toBe("loss-too-many");
    expect(slug(await enterLoss(JOB, { ...entry, why: "fell" }))).toBe("ok");
    expect(job().losses).toHaveLength(1);
  });
});

describe("gates", () => {
  test("a tinged indicator stops the job and the step stays open", async () => {
    await begin();
    await workUntil("liquid");
    expect(slug(await inspectLiquid(JOB, "liquid", { ...dry, indicator: "tinged" }))).toBe("liquid-photo-missing");
    expect(job().stage).toBe("bench");
    await inspectLiquid(JOB, "liquid", { ...dry, indicator: "tinged", photos: { indicator: PHOTO } });
    expect([job().stage, job().stop?.reason, job().steps.liquid]).toEqual(["stopped", "liquid", undefined]);
    expect(open()).toBe("plate");
  });

  test("only a lead lifts a stop, with a reason; the device is opened again", async () => {
    await begin();
    await workUntil("liquid");
    await inspectLiquid(JOB, "liquid", { ...dry, signs: ["rust"], photos: { rust: PHOTO } });
    await workUntil("lift-back");
    await finishStep(JOB, "lift-back");
    expect(slug(await liftStop(JOB, "old stain, dry"))).toBe("lead-only");
    signedOn.value = "W002";
    expect(slug(await liftStop(JOB, " "))).toBe("why-missing");
    expect(slug(await liftStop(JOB, "old stain, dry"))).toBe("ok");
    expect([job().stage, job().lifts.length, open()]).toEqual(["bench", 1, "lift"]);
    await finishStep(JOB, "lift");
    expect(open()).toBe("plate");
    expect(job().connectors.battery).toEqual({ out: 1 });
  });

  test("a stop that was lifted at the counter is set right on the bench with one press", async () => {
    await begin();
    await workUntil("liquid");
    await inspectLiquid(JOB, "liquid", { ...dry, signs: ["rust"], photos: { rust: PHOTO } });
    await workUntil("lift-back");
    await finishStep(JOB, "lift-back");
    await act(() => [{ kind: "stop.lifted", job: JOB, body: { reason: "liquid", plan: "go_on", why: "old stain" } }]);
    expect(afterLift(job(), DISPLAY)).toEqual({
      undo: ["plate-back", "plate", "lift-back", "lift"],
      answered: ["liquid"],
    });
    expect(slug(await goOnAfterLift(JOB))).toBe("ok");
    expect(afterLift(job(), DISPLAY)).toEqual({ undo: [], answered: [] });
    expect(open()).toBe("lift");
  });

  test("a stop lifted after the job was closed up and its tray freed takes a new tray and goes on where it was closed", async () => {
    await begin();
    await workUntil("liquid");
    await inspectLiquid(JOB, "liquid", { ...dry, signs: ["rust"], photos: { rust: PHOTO } });
    await workUntil("leftover");
    await closeJob(JOB, "leftover", true, [], "removed");
    expect(job().stage).toBe("ready");
    signedOn.value = "W002";
    expect(slug(await liftStop(JOB, "old stain"))).toBe("ok");
    expect([job().stage, open(), job().steps.leftover]).toEqual(["bench", "tray", undefined]);
    expect(slug(await bind(OTHER_TRAY, JOB, null))).toBe("ok");
    expect(jobOfTray(OTHER_TRAY)).toBe(JOB);
    await workUntil("plate");
    expect(job().findings).toEqual([]);
  });

  test("a job stopped before it began is begun with a tray once a lead lifted the stop", async () => {
    await stopJob(JOB, "customer", "called off");
    signedOn.value = "W002";
    expect(slug(await liftStop(JOB, "changed their mind"))).toBe("ok");
    expect(slug(await bind(TRAY, JOB, null))).toBe("no-procedure");
    expect(slug(await begin())).toBe("ok");
    expect([job().procedure, open(), job().findings]).toEqual([DISPLAY.id, "safety", []]);
  });

  test("a swollen battery stops the job without unplugging anything", async () => {
    await begin();
    await workUntil("power");
    await isolatePower(JOB, "power", "swollen", []);
    expect([job().stop?.reason, job().connectors.battery, open()]).toEqual(["battery", undefined, "unsafe-aside"]);
  });

  test("an unsafe battery leads to the safe place: laid aside, left plugged, labelled, brought there", async () => {
    await begin();
    await workUntil("power");
    await isolatePower(JOB, "power", "swollen", []);
    await finishStep(JOB, "unsafe-aside");
    expect(slug(await unplugUnsafe(JOB, "unsafe-unplug", false))).toBe("ok");
    expect([job().connectors.battery, lastNote()]).toEqual([undefined, "The battery was left plugged in."]);
    await finishStep(JOB, "unsafe-label");
    await bringToSafePlace(JOB, "unsafe-bring");
    expect([placeOfCode(DEVICE), open(), job().stage, jobOfTray(TRAY)]).toEqual([
      { kind: "at", to: "safe" },
      undefined,
      "stopped",
      JOB,
    ]);
  });

  test("a lead's plan is needed to go on with an unsafe battery, and the cell comes out with a true record", async () => {
    await begin();
    await workUntil("power");
    await isolatePower(JOB, "power", "swollen", [PHOTO]);
    await finishStep(JOB, "unsafe-aside");
    await unplugUnsafe(JOB, "unsafe-unplug", true);
    await finishStep(JOB, "unsafe-label");
    await bringToSafePlace(JOB, "unsafe-bring");
    signedOn.value = "W002";
    expect(slug(await liftStop(JOB, "we do it"))).toBe("answer-missing");
    expect(slug(await liftStop(JOB, "we do it", "cell_out"))).toBe("ok");
    expect([placeOfCode(DEVICE), open(), job().cell_lifted]).toEqual([{ kind: "at", to: TRAY }, "cell-ready", true]);
    await finishStep(JOB, "cell-ready");
    expect(slug(await isolatePower(JOB, "power", "swollen", [PHOTO]))).toBe("ok");
    await finishStep(JOB, "cell-out");
    expect(slug(await containCell(JOB, "cell-contain"))).toBe("core-untagged");
    expect(slug(await tagCell(JOB, "cell-contain"))).toBe("ok");
    expect(slug(await containCell(JOB, "cell-contain"))).toBe("ok");
    const [core] = Object.keys(job().cores);
    expect(state.value.thing.get(core as string)).toMatchObject({
      condition: "swollen",
      shipping_caution: "battery_damaged",
      purpose: "battery",
    });
    expect(placeOfCode(core as string)).toEqual({ kind: "at", to: "safe" });
    expect([job().stop?.reason, job().cell, open()]).toEqual(["battery", "out", "plate-back"]);
    await workUntil("leftover");
    expect(slug(await closeJob(JOB, "leftover", true, [], "removed"))).toBe("ok");
    expect([job().stage, job().findings, placeOfCode(DEVICE)]).toEqual(["ready", [], { kind: "at", to: "shelf" }]);
  });

  test("a yes before anything else stops the job at once, and a half answer writes nothing", async () => {
    await begin();
    expect(slug(await checkSafety(JOB, "safety", { wet: "no" }, []))).toBe("answer-missing");
    await checkSafety(JOB, "safety", { wet: "no", bulging: "yes", hot: "no" }, []);
    expect([job().stop?.reason, job().cell, open()]).toEqual(["battery", "swollen", "unsafe-label"]);
  });

  test("a stop by hand for the battery says what it is like", async () => {
    await begin();
    await workUntil("warm");
    expect(slug(await stopJob(JOB, "battery", "smells"))).toBe("answer-missing");
    expect(slug(await stopJob(JOB, "battery", "smells", "leaking"))).toBe("ok");
    expect(job().cell).toBe("leaking");
  });

  test("a battery that goes bad during the trial ends it: the new unit lies on the bench, the device in the safe place", async () => {
    await begin();
    await workUntil("trial-power");
    await isolatePower(JOB, "trial-power", "hot", []);
    expect([job().stop?.reason, open()]).toEqual(["battery", "unsafe-aside"]);
    await finishStep(JOB, "unsafe-aside");
    await unplugUnsafe(JOB, "unsafe-unplug", false);
    await finishStep(JOB, "unsafe-label");
    await bringToSafePlace(JOB, "unsafe-bring");
    expect([placeOfCode(DEVICE), placeOfCode(PART)]).toEqual([
      { kind: "at", to: "safe" },
      { kind: "at", to: "bench" },
    ]);
  });
});

describe("pre-fit", () => {
  beforeEach(async () => {
    await begin();
    await workUntil("prefit");
  });

  test("only a unit that fits, is sound, free and untried is taken", async () => {
    expect(slug(await assignPart(JOB, TRAY))).toBe("code-unknown");
    expect(slug(await assignPart(JOB, mint("P", "7K2", 99).code))).toBe("code-unknown");
    expect(slug(await assignPart(JOB, WRONG_PART))).toBe("part-wrong-kind");
    await act(() => [moved(PART, OTHER_JOB)]);
    expect(slug(await assignPart(JOB, PART))).toBe("part-of-other-job");
    await act(() => [moved(PART, "shelf"), { kind: "part.judged", body: { part: PART, verdict: "doa" } }]);
    expect(slug(await assignPart(JOB, PART))).toBe("part-doa");
    expect(slug(await assignPart(JOB, SECOND_PART))).toBe("ok");
    expect([Object.keys(job().parts), placeOfCode(SECOND_PART)]).toEqual([[SECOND_PART], { kind: "at", to: JOB }]);
  });

  test("a try is not closed without a unit or with unread points", async () => {
    expect(slug(await closeTry(JOB, "prefit"))).toBe("part-missing");
    await assignPart(JOB, PART);
    expect(slug(await closeTry(JOB, "prefit"))).toBe("tests-open");
    expect(slug(await acceptPart(JOB, "prefit", "yes", ""))).toBe("prefit-open");
  });

  test("the second unit passes: the first is dead on arrival, and every try is kept", async () => {
    await assignPart(JOB, PART);
    await readAll(1, ["touch"]);
    expect(await closeTry(JOB, "prefit")).toMatchObject({ value: { next: "reseat" } });
    expect(slug(await closeTry(JOB, "prefit"))).toBe("tests-open");
    await readAll(2, ["touch"]);
    expect(await closeTry(JOB, "prefit")).toMatchObject({ value: { next: "second_unit" } });
    expect(slug(await assignPart(JOB, PART))).toBe("part-tried");
    await assignPart(JOB, SECOND_PART);
    await readAll(3, []);
    expect(await closeTry(JOB, "prefit")).toMatchObject({ value: { next: "pass" } });
    expect([PART, SECOND_PART].map((p) => state.value.thing.get(p)?.verdict)).toEqual(["doa", "good"]);
    expect(job().tries.map((t) => [t.try, t.action, t.outcome])).toEqual([
      [1, "first", "fail"],
      [2, "reseat", "fail"],
      [3, "second_unit", "pass"],
    ]);
    expect(slug(await acceptPart(JOB, "prefit", "yes", "clear picture"))).toBe("ok");
    const check = job().complaint_checks["prefit/1"];
    expect([check?.cured, said(check?.note ?? null)]).toEqual(["yes", "clear picture"]);
    expect(open()).toBe("trial-power");
  });

  test("after nine tries no unit is taken and no old reading answers, although a lead lifted the stop", async () => {
    await readAll(9, []);
    const failed = (n: number) => ({
      try: n,
      part: PART,
      action: "reseat" as const,
      outcome: "fail" as const,
      failed: [],
    });
    await act(() => [1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => ({ kind: "prefit.tried", job: JOB, body: failed(n) })));
    expect(slug(await assignPart(JOB, SECOND_PART))).toBe("tries-over");
    await act(() => [{ kind: "part.assigned", job: JOB, body: { part: SECOND_PART } }]);
    expect(slug(await closeTry(JOB, "prefit"))).toBe("part-missing");
  });

  test("the same point with two units of one lot stops nothing: another lot is asked for, and both units stand apart", async () => {
    await assignPart(JOB, PART);
    await readAll(1, ["touch"]);
    await closeTry(JOB, "prefit");
    await readAll(2, ["touch"]);
    await closeTry(JOB, "prefit");
    await assignPart(JOB, SECOND_PART);
    await readAll(3, ["touch"]);
    expect(await closeTry(JOB, "prefit")).toMatchObject({ value: { next: "other_lot" } });
    expect([job().stop, open()]).toEqual([null, "prefit"]);
    expect([PART, SECOND_PART].map((p) => state.value.thing.get(p)?.verdict)).toEqual(["doubtful", "doubtful"]);
  });

  test("a point that cannot be tested needs its reason", async () => {
    expect(slug(await readTest(JOB, "prefit", { point: "touch", result: "cannot", try: 1 }))).toBe("test-why-missing");
  });
});

describe("the end of a job", () => {
  beforeEach(async () => {
    await begin();
  });

  test("a whole job comes to ready, with tray and device on the shelf and nothing found wrong", async () => {
    await workUntil("leftover");
    expect(slug(await closeJob(JOB, "leftover", false, [], "removed"))).toBe("leftover-not-looked");
    expect(slug(await closeJob(JOB, "leftover", true, [], "removed"))).toBe("ok");
    expect([job().stage, job().findings]).toEqual(["ready", []]);
    expect([TRAY, DEVICE, PART].map((c) => placeOfCode(c))).toEqual([
      { kind: "at", to: "shelf" },
      { kind: "at", to: "shelf" },
      { kind: "at", to: JOB },
    ]);
    expect(jobOfTray(TRAY)).toBeNull();
    expect(slug(await openAgain(JOB))).toBe("ok");
    expect([job().stage, open()]).toEqual(["bench", "final"]);
  });

  test("a device opened again from ready is tested anew: the old readings stay, and the gate waits for new ones", async () => {
    await workUntil("leftover");
    await closeJob(JOB, "leftover", true, [], "removed");
    const first = Object.keys(job().tests).filter((key) => key.startsWith("final/"));
    expect(first).toHaveLength(pointsOf("final").length);
    expect(kindsOf(await openAgain(JOB))).toContain("final.begun");
    expect([finalRound(job()), openFinal(job()).length]).toEqual([2, first.length]);
    expect(slug(await closeTests(JOB, "final"))).toBe("tests-open");
    for (const point of pointsOf("final"))
      await readTest(JOB, "final", { point, result: point === "wifi" ? "fail" : "pass" });
    expect(verdictOf(job(), "wifi")).toBe("unknown_before");
    expect(slug(await closeTests(JOB, "final"))).toBe("complaint-open");
    await checkComplaint(JOB, "final", "yes", "");
    expect(slug(await closeTests(JOB, "final"))).toBe("test-blocks");
    await readTest(JOB, "final", { point: "wifi", result: "pass" });
    expect(slug(await closeTests(JOB, "final"))).toBe("ok");
    expect(open()).toBe("leftover");
    expect(earlierRounds(job())).toEqual([{ round: 1, works: first.length, fails: [], cannot: [] }]);
    expect(Object.keys(job().tests).filter((key) => key.startsWith("final/"))).toEqual(first);
  });

  test("taking the test itself back leaves its readings; taking a step on the device back begins a new round, once", async () => {
    await workUntil("core");
    expect(kindsOf(await takeBack(JOB))).toEqual(["step.undone"]);
    expect([open(), openFinal(job())]).toEqual(["final", []]);
    expect(kindsOf(await takeBack(JOB))).toContain("final.begun");
    expect(kindsOf(await takeBack(JOB))).not.toContain("final.begun");
    await workUntil("core");
    expect([finalRound(job()), Object.keys(job().final_tests).length]).toEqual([2, pointsOf("final").length]);
    await takeBack(JOB);
    await takeBack(JOB);
    expect(finalRound(job())).toBe(3);
  });

  test("a test closed at a station that did not know of the new round does not make the device ready", async () => {
    await workUntil("leftover");
    await act(() => [{ kind: "final.begun", job: JOB, body: { round: 2 } }]);
    expect(open()).toBe("leftover");
    expect(slug(await closeJob(JOB, "leftover", true, [], "removed"))).toBe("tests-open");
  });

  test("a stop that is lifted begins a new round when the device was tested", async () => {
    await workUntil("final");
    await readTest(JOB, "final", { point: "touch", result: "pass" });
    await stopJob(JOB, "customer", "");
    signedOn.value = "W002";
    expect(kindsOf(await liftStop(JOB, "they want it after all"))).toContain("final.begun");
    await stopJob(JOB, "customer", "");
    expect(kindsOf(await liftStop(JOB, "once more"))).not.toContain("final.begun");
    expect([finalRound(job()), openFinal(job()).length]).toEqual([2, pointsOf("final").length]);
  });

  test("the old part gets its code, the new part's supplier and the procedure's purpose", async () => {
    await workUntil("core");
    expect(slug(await packCore(JOB, "core"))).toBe("core-untagged");
    expect(slug(await leaveCore(JOB, "core", "in_device"))).toBe("core-untagged");
    await tagCore(JOB, "core", { condition: "cracked", damagedBattery: true, photos: [PHOTO], supplier: null });
    const [core] = Object.keys(job().cores);
    expect(core).toMatch(/^C7K2/);
    expect(state.value.thing.get(core as string)).toMatchObject({
      supplier: "north",
      purpose: "credit",
      condition: "cracked",
      replaced_by: PART,
      shipping_caution: "none",
    });
    expect(placeOfCode(core as string)).toEqual({ kind: "at", to: "bench" });
  });

  test("the test cannot be closed with open points", async () => {
    await workUntil("final");
    expect(slug(await closeTests(JOB, "final"))).toBe("tests-open");
  });
});

describe("static check", () => {
  test.each([
    ["1,2", "M", 1_200_000],
    ["950", "k", 950_000],
    ["34.999", "M", 34_999_000],
    ["", "M", null],
    ["-1", "M", null],
    ["1e3", "M", null],
    ["one", "k", null],
  ] as const)("%s %s ohm is read as %s", (text, unit, ohms) => {
    expect(readOhms(text, unit)).toBe(ohms);
  });

  // A clock that stands still: at midnight today's check would be yesterday's between two lines of a test.
  beforeEach(() => vi.useFakeTimers({ toFake: ["Date"], now: Date.UTC(2026, 9, 24, 12) }));
  afterEach(() => vi.useRealTimers());
  const later = (ms: number) => vi.setSystemTime(Date.now() + ms);

  const DAY_MS = 86_400_000;
  const strap = (inDays = 0) => standing("wrist_strap", Date.now() + inDays * DAY_MS);
  const mat = (inDays = 0) => standing("mat", Date.now() + inDays * DAY_MS);
  const setShop = (body: object): void => {
    docs.value = new Map([...docs.value, ["shop", { id: "shop", kind: "settings", rev: 1, body }]]);
  };

  test("open until today's reading; below 35 megohm passes, 35 megohm itself fails (ANSI/ESD S20.20, from secondary sources)", async () => {
    expect(esdChecks.wrist_strap.below_ohms).toBe(35_000_000);
    expect(strap()).toEqual({ kind: "open" });
    await checkStatic("wrist_strap", "35", "M");
    expect(strap()).toEqual({ kind: "failed", ohms: 35_000_000 });
    await checkStatic("wrist_strap", "34.999", "M");
    expect(strap()).toEqual({ kind: "passed", ohms: 34_999_000 });
    await checkStatic("wrist_strap", "0", "k");
    expect(strap()).toEqual({ kind: "low", ohms: 0 });
    await checkStatic("wrist_strap", "750", "k");
    expect(strap()).toEqual({ kind: "passed", ohms: 750_000 });
    expect(strap(1)).toEqual({ kind: "open" });
    signedOn.value = "W002";
    expect(strap()).toEqual({ kind: "open" });
  });

  test("the strap's interval is the shop's", async () => {
    await checkStatic("wrist_strap", "1.2", "M");
    setShop({ strap_interval: "hours_8" });
    expect([strap(0.33).kind, strap(0.34).kind]).toEqual(["passed", "open"]);
    setShop({ strap_interval: "sign_on" });
    expect(strap().kind).toBe("passed");
    later(1);
    await act(() => [{ kind: "staff.signed_on", body: { with: "badge" } }]);
    expect(strap().kind).toBe("open");
    await checkStatic("wrist_strap", "1.2", "M");
    expect(strap().kind).toBe("passed");
  });

  test("the mat is the station's, whoever measured it, and has its own limit and interval", async () => {
    expect(mat()).toEqual({ kind: "open" });
    await checkStatic("mat", "1000", "M");
    expect(mat()).toEqual({ kind: "failed", ohms: 1_000_000_000 });
    await checkStatic("mat", "999.999", "M");
    expect(mat(29)).toEqual({ kind: "passed", ohms: 999_999_000 });
    expect(mat(30)).toEqual({ kind: "open" });
    setShop({ mat_interval: "day" });
    expect([mat(0).kind, mat(1).kind]).toEqual(["passed", "open"]);
    signedOn.value = "W002";
    expect(mat().kind).toBe("passed");
  });

  test("the record of a job has what counted at the work, and says where there was nothing", async () => {
    await begin();
    await checkStatic("wrist_strap", "1.2", "M");
    await workUntil("liquid");
    // A check of the very millisecond of the work would count for it.
    later(1);
    await checkStatic("wrist_strap", "40", "M");
    await checkStatic("mat", "5", "k");
    const lines = jobChecks(job(), await readJobEvents(JOB));
    expect(lines).toEqual([
      {
        about: "Wrist strap, Bench One",
        says: expect.stringMatching(/^1.2 M ohm, below the limit of 35 M ohm. Measured /),
        tone: "good",
      },
      {
        about: "Bench mat, station S001",
        says: expect.stringMatching(/^No check counted for the work of /),
        tone: "warn",
      },
    ]);
    expect(jobChecks(job(), [])).toEqual([]);
  });
});
