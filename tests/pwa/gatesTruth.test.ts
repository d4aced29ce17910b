/**
 * Each gate has an answer for the truth. Whatever state device, part or test is in, one answer says so; then the walk goes
 * on, or the job stops with its reason and a next step, or what was pressed is refused and the refusal says what to do next.
 */
import { finishStep } from "@pwa/actions/bench.ts";
import { acceptPart, checkComplaint, stopUncured } from "@pwa/actions/complaint.ts";
import {
  bringToSafePlace,
  checkSafety,
  closeJob,
  closeTests,
  containCell,
  inspectLiquid,
  isolatePower,
  leaveCore,
  movePair,
  packCore,
  recheck,
  tagCell,
  tagCore,
  unplugUnsafe,
} from "@pwa/actions/gates.ts";
import { noteIncident, settleIncident } from "@pwa/actions/incident.ts";
import { enterLoss } from "@pwa/actions/ledger.ts";
import { assignPart, closeTry } from "@pwa/actions/prefit.ts";
import { liftStop, stopJob } from "@pwa/actions/stop.ts";
import { readTest } from "@pwa/actions/tests.ts";
import { signedOn } from "@pwa/current.ts";
import { benchOf } from "@pwa/facts/work.ts";
import { problemText, type Result } from "@pwa/problem.ts";
import { prefitPoints } from "@pwa/rules/prefit.ts";
import { derive, type Gate, type Procedure } from "@pwa/rules/procedure.ts";
import { openFinal } from "@pwa/rules/tests.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { DISPLAY, JOB, PART, PHOTO, SECOND_PART } from "./benchKit.ts";
import { begin, blankStation, dry, job, open, readAll, TABLET, workUntil } from "./benchStation.ts";

type Said = Result<unknown>;
/** `on`: this step is behind. `here`: written, and there is more to do at this step. */
type Way = "on" | "here" | "stop" | { readonly refused: string };
type Truth = readonly [state: string, say: () => Promise<Said>, way: Way];

const ALL_GATES: Readonly<Record<Gate, readonly Truth[]>> = {
  safety: [
    ["nothing wrong", () => safety("no", "no", "no"), "on"],
    ["wet", () => safety("yes", "no", "no"), "stop"],
    ["bulging", () => safety("no", "yes", "no"), "stop"],
    ["hot or smelling", () => safety("no", "no", "yes"), "stop"],
    ["all of it", () => safety("yes", "yes", "yes"), "stop"],
    ["one not looked at", () => checkSafety(JOB, here(), { wet: "no" }, []), { refused: "answer-missing" }],
  ],
  liquid: [
    ["dry", () => inspectLiquid(JOB, here(), dry), "on"],
    ["tinged", () => liquid("tinged"), "stop"],
    ["red", () => liquid("red"), "stop"],
    ["out of sight, with a note", () => inspectLiquid(JOB, here(), { ...dry, indicator: "not_visible", note: "below the shield" }), "on"],
    ["out of sight, nothing said", () => inspectLiquid(JOB, here(), { ...dry, indicator: "not_visible" }), { refused: "liquid-photo-missing" }],
    ...(["corrosion", "rust", "oxidation", "residue", "moisture"] as const).flatMap((sign): readonly Truth[] => [
      [sign, () => inspectLiquid(JOB, here(), { ...dry, signs: [sign], photos: { [sign]: PHOTO } }), "stop"],
      [`${sign} without a photo`, () => inspectLiquid(JOB, here(), { ...dry, signs: [sign] }), { refused: "liquid-photo-missing" }],
    ]),
  ], // biome-ignore format: one state a line
  power: [
    ["sound", () => isolatePower(JOB, here(), "sound", []), "on"],
    ...(["swollen", "punctured", "hot", "leaking"] as const).map(
      (battery): Truth => [battery, () => isolatePower(JOB, here(), battery, [PHOTO]), "stop"],
    ),
  ],
  prefit: [
    ["works, and the complaint is cured", () => proven().then(() => acceptPart(JOB, here(), "yes", "")), "on"],
    ["works, and nobody can tell yet", () => proven().then(() => acceptPart(JOB, here(), "unknown", "")), "on"],
    ["works, is not the cure, fitted for a reason", () => proven().then(() => acceptPart(JOB, here(), "no", "glass is cracked as well")), "on"],
    ["works, is not the cure, no reason", () => proven().then(() => acceptPart(JOB, here(), "no", "")), { refused: "complaint-why-missing" }],
    ["works, the fault lies elsewhere", () => proven().then(() => stopUncured(JOB, here(), "dark with both")), "stop"],
    ["fails", () => tried(PART, ["touch"]), "here"],
    ["fails once reseated", () => tried(PART, ["touch"]).then(() => tried(null, ["touch"])), "here"],
    ["fails with a second unit of the lot", () => twoUnits(), "here"],
    ["fails with the old part, where it worked at intake", () => intakePass("touch").then(twoUnits).then(() => crosswise("old_part", ["touch"])), "stop"],
    ["fails with a known-good unit", () => twoUnits().then(() => crosswise("known_good", ["touch"])), "stop"],
    ["works with a known-good unit", () => twoUnits().then(() => crosswise("known_good", [])), "here"],
    ["some cannot be tested", () => assign(PART).then(() => read(1, "cannot", ["touch"])).then(() => closeTry(JOB, here())), "here"],
    ["nothing can be tested", () => assign(PART).then(() => read(1, "cannot")).then(() => closeTry(JOB, here())), { refused: "prefit-open" }],
    ["there is no unit", () => closeTry(JOB, here()), { refused: "part-missing" }],
    ["no unit of another lot to be had", () => twoUnits().then(() => stopJob(JOB, "parts", "no other lot in stock")), "stop"],
  ], // biome-ignore format: one state a line
  pair: [
    ["moved over whole", () => movePair(JOB, here()), "on"],
    ["damaged, or does not come off", () => stopJob(JOB, "paired", "its cable tore"), "stop"],
  ],
  final: [
    ["all works, the complaint is cured", () => tested([]).then(() => told("yes", "")).then(close), "on"],
    ["the complaint is not cured, agreed", () => tested([]).then(() => told("no", "still dim; taken as it is")).then(close), "on"],
    ["the complaint cannot be shown", () => tested([]).then(() => told("unknown", "it comes and goes")).then(close), "on"],
    ["the complaint is not cured, nothing said", () => tested([]).then(() => told("no", "")), { refused: "complaint-why-missing" }],
    ["the complaint was not asked", () => tested([]).then(close), { refused: "complaint-open" }],
    ["a point is left", () => close(), { refused: "tests-open" }],
    ["a point fails that worked at intake", () => intakePass("wifi").then(() => tested(["wifi"])).then(() => told("yes", "")).then(close), { refused: "test-blocks" }],
    ["it was our doing, and a lead settled it", () => intakePass("wifi").then(() => tested(["wifi"])).then(() => told("yes", "")).then(ourDoing).then(close), "on"],
    ["a point fails that nobody read at intake, as agreed", () => tested(["wifi"], "was so before, the customer says").then(() => told("yes", "")).then(close), "on"],
    ["a point cannot be tested", () => tested([], undefined, ["wifi"]).then(() => told("yes", "")).then(close), "on"],
    ["it cannot be cured", () => stopJob(JOB, "other", "fails again after an hour"), "stop"],
  ], // biome-ignore format: one state a line
  recheck: [
    ["all works still", () => recheck(JOB, here()), "on"],
    ["a point fails now", () => recheck(JOB, here(), ["touch"]), "here"],
    ["a point fails now, and it is gone past", () => recheck(JOB, here(), ["touch"]).then(() => recheck(JOB, here())), { refused: "test-blocks" }],
    ["it failed, and was a slip", () => recheck(JOB, here(), ["touch"]).then(() => readTest(JOB, "final", { point: "touch", result: "pass" })).then(() => recheck(JOB, here())), "on"],
    ["it stays so", () => recheck(JOB, here(), ["touch"]).then(() => stopJob(JOB, "other", "touch dead after closing")), "stop"],
  ], // biome-ignore format: one state a line
  core: [
    ...(["complete", "cracked", "bent", "burnt", "incomplete"] as const).map(
      (condition): Truth => [condition, () => tagged(condition), "on"],
    ),
    ["there was none", () => leaveCore(JOB, here(), "none"), "on"],
    ["the customer keeps it", () => leaveCore(JOB, here(), "customer"), "on"],
    ["back in the device, which is not stopped", () => leaveCore(JOB, here(), "in_device"), { refused: "core-untagged" }],
    ["not tagged yet", () => packCore(JOB, here()), { refused: "core-untagged" }],
  ], // biome-ignore format: one state a line
  leftover: [
    ["nothing left, traces removed", () => closeJob(JOB, here(), true, [], "removed"), "on"],
    ["nothing left, none were made", () => closeJob(JOB, here(), true, [], "none"), "on"],
    ["not looked at", () => closeJob(JOB, here(), false, [], "removed"), { refused: "leftover-not-looked" }],
    ["traces still on it", () => closeJob(JOB, here(), true, [], null), { refused: "traces-open" }],
    ["something left that does not belong", () => stopJob(JOB, "other", "a screw of unknown place"), "stop"],
  ],
  unplug: [
    ["unplugged", () => unplugUnsafe(JOB, here(), true), "on"],
    ["left plugged, which is safer", () => unplugUnsafe(JOB, here(), false), "on"],
  ],
  bring: [["in the safe place", () => bringToSafePlace(JOB, here()), "on"]],
  contain: [
    ["labelled, in its container", () => tagCell(JOB, here()).then(() => containCell(JOB, here())), "on"],
    ["no code yet", () => containCell(JOB, here()), { refused: "core-untagged" }],
    ["it turns hot meanwhile", () => stopJob(JOB, "battery", "smells", "hot"), "stop"],
  ],
};

/** How each gate is come to; a gate of a glued device on the tablet, the others on the phone. */
const COME_TO: Readonly<Record<Gate, () => Promise<void>>> = {
  safety: () => to("safety"),
  liquid: () => to("liquid"),
  power: () => to("power"),
  prefit: () => to("prefit"),
  pair: () => to("pair"),
  final: () => to("final"),
  recheck: () => to("recheck", TABLET),
  core: () => to("core"),
  leftover: () => to("leftover"),
  unplug: async () => {
    await unsafe();
    await finishStep(JOB, "unsafe-aside");
  },
  bring: toSafePlace,
  contain: async () => {
    await toSafePlace();
    await bringToSafePlace(JOB, here());
    signedOn.value = "W002";
    await liftStop(JOB, "trained for it", "cell_out");
    await finishStep(JOB, "cell-ready");
    await isolatePower(JOB, here(), "swollen", [PHOTO]);
    await finishStep(JOB, "cell-out");
  },
};

beforeEach(blankStation);

describe.each(Object.keys(ALL_GATES) as Gate[])("%s", (gate) => {
  test.each(ALL_GATES[gate])("%s", async (_, say, way) => {
    await COME_TO[gate]();
    const id = here();
    expect(benchOf(JOB)).toMatchObject({ value: { open: { gate } } });
    const stops = job().stop;
    const said = await say();
    if (typeof way === "object") {
      expect(said).toMatchObject({ ok: false, problem: { slug: way.refused } });
      if (!said.ok) expect(problemText(said.problem).next).not.toBe("");
      expect(here()).toBe(id);
      return;
    }
    expect(said).toMatchObject({ ok: true });
    expect(job().stop?.reason !== stops?.reason || job().stop?.event !== stops?.event).toBe(
      way === "stop" || (gate === "contain" && way === "on"),
    );
    if (way === "here") expect(here()).toBe(id);
    else expect(job().steps[id] !== undefined).toBe(way === "on");
    if (way !== "stop") return;
    const left = benchOf(JOB);
    expect(left.ok && left.value.open?.say.length).toBeGreaterThan(0);
  });
});

test("a screw that was lost is entered, with what replaced it, and the job can be closed", async () => {
  await begin();
  await workUntil("warm");
  const lost = {
    group: "latch",
    count: 1,
    what: "lost" as const,
    why: "rolled away",
    replaced: 1,
    replacedBy: "from a donor",
  };
  expect(await enterLoss(JOB, lost)).toMatchObject({ ok: true });
  await workUntil("leftover");
  expect(await closeJob(JOB, "leftover", true, [], "removed")).toMatchObject({ ok: true });
  expect(job().losses).toHaveLength(1);
});

function here(): string {
  const id = open();
  if (id === undefined) throw new Error("no step is open");
  return id;
}

async function to(gate: Gate, procedure: Procedure = DISPLAY): Promise<void> {
  await begin(procedure.id);
  await workUntil(derive(procedure).find((s) => s.gate === gate)?.id as string);
}

async function unsafe(): Promise<void> {
  await to("power");
  await isolatePower(JOB, here(), "swollen", [PHOTO]);
}

async function toSafePlace(): Promise<void> {
  await unsafe();
  await finishStep(JOB, "unsafe-aside");
  await unplugUnsafe(JOB, "unsafe-unplug", true);
  await finishStep(JOB, "unsafe-label");
}

type YesNo = "yes" | "no";
const safety = (wet: YesNo, bulging: YesNo, hot: YesNo): Promise<Said> =>
  checkSafety(JOB, here(), { wet, bulging, hot }, []);
const liquid = (indicator: "tinged" | "red"): Promise<Said> =>
  inspectLiquid(JOB, here(), { ...dry, indicator, photos: { indicator: PHOTO } });

const assign = (part: string): Promise<Said> => assignPart(JOB, part);

async function proven(): Promise<void> {
  await assign(PART);
  await readAll(1, []);
  await closeTry(JOB, here());
}

/** A try with a new unit, or with the one in hand. */
async function tried(part: string | null, failing: readonly string[]): Promise<Said> {
  if (part !== null) await assign(part);
  await readAll(job().tries.length + 1, failing);
  return closeTry(JOB, here());
}

async function twoUnits(): Promise<Said> {
  await tried(PART, ["touch"]);
  await tried(null, ["touch"]);
  return tried(SECOND_PART, ["touch"]);
}

async function crosswise(action: "known_good" | "old_part", failing: readonly string[]): Promise<Said> {
  await readAll(job().tries.length + 1, failing);
  return closeTry(JOB, here(), { action, part: null });
}

/** These points, or all that are asked, cannot be tested; the others work. */
async function read(number: number, result: "cannot", points?: readonly string[]): Promise<void> {
  const bench = benchOf(JOB);
  if (!bench.ok || bench.value.open === null) throw new Error("no step is open");
  for (const point of prefitPoints(bench.value.procedure, bench.value.open)) {
    const reading =
      points?.includes(point) === false ? { result: "pass" as const } : { result, why: "its plug does not reach" };
    await readTest(JOB, "prefit", { point, try: number, ...reading });
  }
}

const intakePass = (point: string): Promise<Said> => readTest(JOB, "intake", { point, result: "pass" });

async function tested(failing: readonly string[], why?: string, untested: readonly string[] = []): Promise<void> {
  for (const point of openFinal(job())) {
    if (failing.includes(point))
      await readTest(JOB, "final", { point, result: "fail", ...(why === undefined ? {} : { why }) });
    else if (untested.includes(point))
      await readTest(JOB, "final", { point, result: "cannot", why: "no network here" });
    else await readTest(JOB, "final", { point, result: "pass" });
  }
}

const told = (cured: "yes" | "no" | "unknown", note: string): Promise<Said> => checkComplaint(JOB, here(), cured, note);
const close = (): Promise<Said> => closeTests(JOB, here());

async function ourDoing(): Promise<void> {
  const entry = {
    what: "torn_cable" as const,
    where: "antenna lead",
    looked: "yes" as const,
    points: ["wifi"],
    note: "",
    photos: [],
  };
  await noteIncident(JOB, entry);
  signedOn.value = "W002";
  await settleIncident(JOB, Object.keys(job().incidents)[0] as string, "replace", "We put a new one in.");
}

async function tagged(condition: "complete" | "cracked" | "bent" | "burnt" | "incomplete"): Promise<Said> {
  await tagCore(JOB, here(), { condition, damagedBattery: false, photos: [], supplier: null });
  return packCore(JOB, here());
}
