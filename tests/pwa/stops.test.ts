/** What a stop leaves to do, and what it never asks for: every shipped procedure stopped at every step, for every reason. */

import type { Battery, StopReason } from "@pwa/events/kinds.gen.ts";
import { judgeBattery, judgeSafety, mayCloseJob, mayDo } from "@pwa/rules/bench.ts";
import { isCellUnsafe } from "@pwa/rules/cell.ts";
import { handOverBy } from "@pwa/rules/handOver.ts";
import { openGroups } from "@pwa/rules/ledger.ts";
import { derive, type Procedure, type Step } from "@pwa/rules/procedure.ts";
import safety from "@shared/safety.json";
import { describe, expect, test } from "vitest";
import { BRACKETS, DEVICE, JOB, PHOTO, Play, SHIPPED } from "./benchKit.ts";

const ALL = [...SHIPPED, BRACKETS];
const UNSAFE = ["swollen", "punctured", "hot", "leaking"] as const;
const placesOf = (procedure: Procedure): readonly string[] => derive(procedure).map((s) => s.id);
const powerOf = (procedure: Procedure) => procedure.connectors.filter((c) => c.power === true).map((c) => c.id);
const presses = (step: Step): boolean => step.ops.some((op) => ["insert", "plug", "seat"].includes(op.op));
const charges = (step: Step): boolean => step.gate === "prefit" || step.gate === "final" || step.gate === "recheck";
const isOut = (play: Play, connector: string): boolean => {
  const { out = 0, back = 0 } = play.job.connectors[connector] ?? {};
  return out > back;
};

/** Everything that is left, in order; each step is allowed when its turn comes. */
function walkOut(play: Play, last: string): readonly Step[] {
  const done: Step[] = [];
  for (let step = play.open; step !== null && step.id !== last; step = play.open) {
    expect(mayDo(play.job, play.procedure, step.id).ok).toBe(true);
    play.do(step);
    done.push(step);
    if (done.length > 60) throw new Error("the walk does not end");
  }
  return done;
}

describe.each(ALL.map((p) => [p.id, p] as const))("%s stopped for its battery", (_, procedure) => {
  const cases = placesOf(procedure).flatMap((at) => UNSAFE.map((battery) => [at, battery] as const));

  test.each(cases)(
    "at %s, %s: nothing is pressed, seated, screwed, heated, charged or handed out, and it ends in the safe place",
    (at, battery) => {
      const play = new Play(procedure);
      play.doUntil(at);
      play.write({ kind: "job.stopped", job: JOB, body: { reason: "battery", battery, note: "seen" } });
      const steps = walkOut(play, "");
      expect(steps.filter((s) => presses(s) || charges(s) || s.heat !== null || s.solvent !== null)).toEqual([]);
      expect(steps.at(-1)?.gate).toBe("bring");
      expect(Object.values(play.heads(DEVICE)).map((h) => h.to)).toEqual(["safe"]);
      expect([play.job.stage, isCellUnsafe(play.job), play.job.findings]).toEqual(["stopped", true, []]);
      expect(handOverBy(play.job)).not.toBe("anybody");
    },
  );

  test.each(placesOf(procedure))("at %s, a screw turned in or a plug pushed all the same is a finding", (at) => {
    const play = new Play(procedure);
    play.doUntil(at);
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "battery", battery: "swollen", note: "seen" } });
    const [connector] = powerOf(procedure);
    play.write({ kind: "connector.plugged", job: JOB, body: { step: "x", connector: connector as string } });
    expect(play.job.findings.map((f) => f.slug)).toEqual(["pressed-after-unsafe"]);
  });
});

describe.each(ALL.map((p) => [p.id, p] as const))("%s stopped for liquid", (_, procedure) => {
  test.each(placesOf(procedure))("at %s: an open device is unplugged, closed, and never plugged in again", (at) => {
    const play = new Play(procedure);
    play.doUntil(at);
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "liquid", note: "drops" } });
    const steps = walkOut(play, "leftover");
    const power = powerOf(procedure);
    expect(steps.filter((s) => s.ops.some((op) => op.op === "plug" && power.includes(op.connector)))).toEqual([]);
    expect(steps.filter(charges)).toEqual([]);
    const order = placesOf(procedure);
    const opened = order.indexOf(at) >= order.indexOf(procedure.in.find((s) => s.gate === "liquid")?.id ?? "");
    const closed = order.indexOf(at) > order.findLastIndex((id) => id.endsWith("-back"));
    if (opened && !closed && !steps.some((s) => s.gate === "unplug"))
      expect(power.map((c) => isOut(play, c))).toEqual(power.map(() => true));
    expect(openGroups(play.job.ledger)).toEqual([]);
    expect(mayCloseJob(play.job, procedure).ok).toBe(true);
    expect(play.job.findings).toEqual([]);
  });

  test("at the battery's gate, an unsafe one turns it into a stop for the battery", () => {
    const play = new Play(procedure);
    const gate = procedure.in.find((s) => s.gate === "liquid")?.id as string;
    const power = procedure.in.find((s) => s.gate === "power")?.id as string;
    play.doUntil(gate);
    play.write({ kind: "liquid.inspected", job: JOB, body: { indicator: "red", signs: [], photos: [PHOTO] } });
    play.doUntil(power);
    expect(play.open?.id).toBe(power);
    play.write({ kind: "power.isolated", job: JOB, body: { battery: "swollen", photos: [], step: power } });
    expect(play.job.stop?.reason).toBe("battery");
    expect(walkOut(play, "").filter(presses)).toEqual([]);
  });
});

describe.each(ALL.map((p) => [p.id, p] as const))("%s stopped for another reason", (_, procedure) => {
  const reasons: readonly StopReason[] = ["board", "paired", "customer", "parts", "other"];
  const cases = placesOf(procedure).flatMap((at) => reasons.map((reason) => [at, reason] as const));
  test.each(cases)("at %s, %s: nothing new is taken out or tested, and all goes back", (at, reason) => {
    const play = new Play(procedure);
    play.doUntil(at);
    play.write({ kind: "job.stopped", job: JOB, body: { reason, note: "as the test says" } });
    const steps = walkOut(play, "leftover");
    expect(steps.filter((s) => charges(s) || s.phase === "in" || s.heat !== null)).toEqual([]);
    expect(mayCloseJob(play.job, procedure).ok).toBe(true);
    expect(play.job.findings).toEqual([]);
  });
});

describe("a swollen cell that a lead lets be taken out", () => {
  test.each(ALL.map((p) => [p.id, p] as const))(
    "%s: seen at its gate, recorded as it is, out, and the record says so",
    (_, procedure) => {
      const play = new Play(procedure);
      const power = procedure.in.find((s) => s.gate === "power")?.id as string;
      play.doUntil(power);
      play.write({ kind: "power.isolated", job: JOB, body: { battery: "swollen", photos: [], step: power } });
      expect(play.job.stop?.reason).toBe("battery");
      play.write({
        kind: "stop.lifted",
        job: JOB,
        body: { reason: "battery", plan: "cell_out", why: "trained for it" },
      });
      expect(play.open?.id).toBe("cell-ready");
      play.do(play.open as Step);
      expect(play.open?.id).toBe(power);
      expect(judgeBattery(play.job, "swollen")).toBe("pass");
      play.write({ kind: "power.isolated", job: JOB, body: { battery: "swollen", photos: [], step: power } });
      expect(play.job.stop).toBeNull();
      play.book(
        play.open as Step,
        powerOf(procedure).map((connector) => ({ kind: "connector.unplugged" as const, connector })),
      );
      play.write({ kind: "step.done", job: JOB, body: { step: power } });
      for (let step = play.open; step?.gate !== "contain"; step = play.open) {
        expect([step?.heat, step?.solvent]).toEqual([null, null]);
        expect(step?.cautions).toContain("battery_emergency");
        play.do(step as Step);
      }
      play.write({ kind: "cell.taken_out", job: JOB, body: { core: "C7K200006C", step: "cell-contain" } });
      expect([play.job.cell, play.job.cell_lifted, isCellUnsafe(play.job)]).toEqual(["out", null, false]);
      expect(judgeBattery(play.job, "swollen")).toBe("stop");
      expect(play.job.power.map((p) => p.battery)).toEqual(["swollen", "swollen"]);
    },
  );

  test("a cell that turns hot meanwhile stops the work again", () => {
    const play = new Play(BRACKETS);
    play.doUntil("power");
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "battery", battery: "swollen", note: "seen" } });
    play.write({ kind: "stop.lifted", job: JOB, body: { reason: "battery", plan: "cell_out", why: "trained for it" } });
    for (const battery of ["hot", "punctured", "leaking"] as const)
      expect(judgeBattery(play.job, battery)).toBe("stop");
    play.write({ kind: "power.isolated", job: JOB, body: { battery: "hot", photos: [], step: "power" } });
    expect([play.job.stop?.reason, play.job.cell]).toEqual(["battery", "hot"]);
  });
});

describe("each gate takes the truth: it goes on, or stops and says what to do", () => {
  const yesNo = ["yes", "no"] as const;
  const lifts = [
    ["no lift", null],
    ["a lift for liquid", { reason: "liquid", plan: "go_on", why: "dried by us" }],
    ["a lift to take the cell out", { reason: "battery", plan: "cell_out", why: "trained for it" }],
    ["a lift because the battery is safe", { reason: "battery", plan: "cell_safe", why: "only the frame was bent" }],
  ] as const;

  /** A job at this step, after a stop that was lifted. */
  function at(id: string, lift: (typeof lifts)[number][1]): Play {
    const play = new Play(BRACKETS);
    play.doUntil(id);
    if (lift === null) return play;
    const battery = lift.reason === "battery" ? { battery: "swollen" as const } : {};
    play.write({ kind: "job.stopped", job: JOB, body: { reason: lift.reason, note: "seen", ...battery } });
    play.write({ kind: "stop.lifted", job: JOB, body: lift });
    if (play.open?.id === "cell-ready") play.do(play.open);
    return play;
  }

  /** Stopped with something to do and words for it, or not stopped. */
  function expectWay(play: Play, judged: "pass" | "stop"): void {
    expect(play.job.stop === null ? "pass" : "stop").toBe(judged);
    if (judged === "pass") return;
    const [first] = walkOut(play, "leftover").concat(play.open ?? []);
    expect(first?.say).not.toEqual([]);
  }

  const safetyCases = lifts.flatMap(([name, lift]) =>
    yesNo.flatMap((wet) => yesNo.flatMap((bulging) => yesNo.map((hot) => [name, wet, bulging, hot, lift] as const))),
  );
  test.each(safetyCases)("before anything else, under %s: wet %s, bulging %s, hot %s", (_, wet, bulging, hot, lift) => {
    const play = at("safety", lift);
    const judged = judgeSafety(play.job, { wet, bulging, hot });
    play.write({ kind: "safety.checked", job: JOB, body: { at: "bench", wet, bulging, hot, photos: [] } });
    expectWay(play, judged);
    if (lift === null) expect(judged).toBe([wet, bulging, hot].includes("yes") ? "stop" : "pass");
  });

  const powerCases = lifts.flatMap(([name, lift]) =>
    (["sound", ...UNSAFE] as readonly Battery[]).map((battery) => [name, battery, lift] as const),
  );
  test.each(powerCases)("at the battery, under %s: %s", (_, battery, lift) => {
    const play = at("power", lift);
    const judged = judgeBattery(play.job, battery);
    play.write({ kind: "power.isolated", job: JOB, body: { battery, photos: [], step: "power" } });
    expectWay(play, judged);
    expect(judged).toBe(
      battery === "sound" || (lift?.plan === "cell_out" && safety.cell_out_states.includes(battery)) ? "pass" : "stop",
    );
  });

  test.each(lifts)("at the look for liquid, under %s: red and corroded", (_, lift) => {
    const play = at("liquid", lift);
    play.write({
      kind: "liquid.inspected",
      job: JOB,
      body: { indicator: "red", signs: ["corrosion"], photos: [PHOTO] },
    });
    expectWay(play, lift?.reason === "liquid" ? "pass" : "stop");
  });
});
