import {
  afterLift,
  isStopped,
  judgeLiquid,
  lastDone,
  mayCloseJob,
  mayCloseTests,
  mayDo,
  nextStep,
  walk,
} from "@pwa/rules/bench.ts";
import { complaintCured } from "@pwa/rules/complaint.ts";
import { inTray, openConnectors, openGroups } from "@pwa/rules/ledger.ts";
import { derive, type Procedure } from "@pwa/rules/procedure.ts";
import { pointsOf } from "@pwa/rules/tests.ts";
import { describe, expect, test } from "vitest";
import { BRACKETS, DISPLAY, JOB, PHOTO, Play, SHIPPED } from "./benchKit.ts";

const slug = (answer: { ok: true } | { ok: false; problem: { slug: string } }): string =>
  answer.ok ? "ok" : answer.problem.slug;

describe("order of steps", () => {
  test("the bench opens at the first step that is not done, and goes on from there", () => {
    const play = new Play(DISPLAY);
    expect(play.open?.id).toBe("safety");
    play.doUntil("shield");
    expect(play.open?.id).toBe("shield");
    expect(lastDone(play.job, DISPLAY)?.id).toBe("power");
  });

  test("any step but the open one is refused and the open one is named", () => {
    const play = new Play(DISPLAY);
    play.doUntil("off");
    const answer = mayDo(play.job, DISPLAY, "latch");
    expect(slug(answer)).toBe("step-not-next");
    expect(answer.ok ? "" : answer.problem.detail).toContain("Switch off");
    expect(slug(mayDo(play.job, DISPLAY, "off"))).toBe("ok");
  });

  test("nothing is unplugged before the liquid check, not even the battery", () => {
    const play = new Play(DISPLAY);
    play.doUntil("liquid");
    for (const id of ["power", "cables", "trial-unplug"])
      expect(slug(mayDo(play.job, DISPLAY, id))).toBe("liquid-gate-open");
  });

  test("no other connector is unplugged while the battery is plugged in", () => {
    const play = new Play(DISPLAY);
    play.doUntil("power");
    expect(slug(mayDo(play.job, DISPLAY, "cables"))).toBe("power-gate-open");
    play.doUntil("trial-power");
    expect(slug(mayDo(play.job, DISPLAY, "trial-unplug"))).toBe("power-gate-open");
    play.do(play.open as NonNullable<typeof play.open>);
    expect(slug(mayDo(play.job, DISPLAY, "trial-unplug"))).toBe("ok");
  });

  test("a step that unplugs the battery and then a cable is allowed, the other way round it is not", () => {
    const both = (connectors: readonly string[]): Procedure => ({
      ...BRACKETS,
      in: [
        ...BRACKETS.in.slice(0, 2),
        {
          id: "both",
          title: "Both",
          say: [],
          tools: [],
          cautions: [],
          ops: connectors.map((connector) => ({ op: "unplug", connector })),
        },
      ],
    });
    for (const [order, expected] of [
      [["battery", "panel"], "ok"],
      [["panel", "battery"], "power-gate-open"],
    ] as const) {
      const procedure = both(order);
      const play = new Play(procedure);
      play.doUntil("both");
      expect(slug(mayDo(play.job, procedure, "both"))).toBe(expected);
    }
  });

  test("closing is refused before the new part is proven and before the paired part moved over", () => {
    const play = new Play(DISPLAY);
    play.doUntil("prefit");
    expect(slug(mayDo(play.job, DISPLAY, "apart-back"))).toBe("prefit-open");
    play.doUntil("button-over");
    expect(slug(mayDo(play.job, DISPLAY, "apart-back"))).toBe("pair-open");
  });

  test("a stopped job refuses the steps of the repair", () => {
    const play = new Play(DISPLAY);
    play.doUntil("shield");
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "other", note: "x" } });
    expect(slug(mayDo(play.job, DISPLAY, "shield"))).toBe("job-stopped");
    expect(slug(mayDo(play.job, DISPLAY, "power-back"))).toBe("ok");
    expect(slug(mayDo(play.job, DISPLAY, "lift-back"))).toBe("step-not-next");
  });

  test("a job that was handed over takes no more steps", () => {
    const play = new Play(DISPLAY);
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "customer" } });
    play.write({ kind: "job.handed_over", job: JOB, body: { device: play.job.device as string, checked: "scanned" } });
    expect(slug(mayDo(play.job, DISPLAY, "leftover"))).toBe("job-closed");
  });
});

describe("liquid", () => {
  const finding = { indicator: "untouched" as const, signs: [], photos: {}, note: "" };

  test("untouched and no sign passes", () => {
    expect(judgeLiquid(finding, false)).toEqual({ ok: true, value: "pass" });
  });

  test("slightly pink is tripped and stops the job in rule and fold", () => {
    const pink = { ...finding, indicator: "tinged" as const, photos: { indicator: PHOTO } };
    expect(judgeLiquid(pink, false)).toEqual({ ok: true, value: "stop" });
    const play = new Play(DISPLAY);
    play.doUntil("liquid");
    play.write({ kind: "liquid.inspected", job: JOB, body: { indicator: "tinged", signs: [], photos: [PHOTO] } });
    expect(play.job.stop?.reason).toBe("liquid");
  });

  test.each(["corrosion", "rust", "oxidation", "residue", "moisture"] as const)(
    "%s alone stops the job, and needs its own photo",
    (sign) => {
      expect(slug(judgeLiquid({ ...finding, signs: [sign] }, false))).toBe("liquid-photo-missing");
      expect(slug(judgeLiquid({ ...finding, signs: [sign], photos: { indicator: PHOTO } }, false))).toBe(
        "liquid-photo-missing",
      );
      expect(judgeLiquid({ ...finding, signs: [sign], photos: { [sign]: PHOTO } }, false)).toEqual({
        ok: true,
        value: "stop",
      });
    },
  );

  test("a tripped indicator needs its photo", () => {
    expect(slug(judgeLiquid({ ...finding, indicator: "red" }, false))).toBe("liquid-photo-missing");
  });

  test("an indicator out of sight passes with a photo of its place or with a note, not with neither", () => {
    const hidden = { ...finding, indicator: "not_visible" as const };
    expect(slug(judgeLiquid(hidden, false))).toBe("liquid-photo-missing");
    expect(judgeLiquid({ ...hidden, note: "under the shield" }, false)).toEqual({ ok: true, value: "pass" });
    expect(judgeLiquid({ ...hidden, photos: { indicator: PHOTO } }, false)).toEqual({ ok: true, value: "pass" });
  });
});

describe("final test", () => {
  const names = (points: readonly string[]): string => points.join(",");
  const read = (
    play: Play,
    stage: "intake" | "prefit" | "final",
    point: string,
    result: "pass" | "fail" | "cannot",
    why?: string,
  ): void =>
    play.write({ kind: "test.read", job: JOB, body: { stage, point, result, ...(why === undefined ? {} : { why }) } });
  const cured = (play: Play): void =>
    play.write({ kind: "complaint.checked", job: JOB, body: { stage: "final", round: 1, cured: "yes" } });
  const tested = (): Play => {
    const play = new Play(DISPLAY);
    cured(play);
    for (const point of pointsOf("intake")) read(play, "intake", point, "pass");
    for (const point of pointsOf("final")) read(play, "final", point, "pass");
    return play;
  };

  test("an untested point keeps the test open and is named", () => {
    const play = new Play(DISPLAY);
    for (const point of pointsOf("final").filter((p) => p !== "wifi")) read(play, "final", point, "pass");
    const answer = mayCloseTests(play.job, DISPLAY, names);
    expect(answer).toMatchObject({ ok: false, problem: { slug: "tests-open", detail: "1 open: wifi." } });
    read(play, "final", "wifi", "cannot", "no network");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("complaint-open");
    cured(play);
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
  });

  test("a complaint that is not cured does not keep the test open", () => {
    const play = tested();
    play.write({ kind: "complaint.checked", job: JOB, body: { stage: "final", round: 1, cured: "no", note: "hum" } });
    expect([complaintCured(play.job), slug(mayCloseTests(play.job, DISPLAY, names))]).toEqual(["no", "ok"]);
  });

  test("a point that worked at intake and fails now blocks until it was tested again and works", () => {
    const play = tested();
    read(play, "final", "loudspeaker", "fail");
    expect(mayCloseTests(play.job, DISPLAY, names)).toMatchObject({
      problem: { slug: "test-blocks", detail: "loudspeaker." },
    });
    read(play, "final", "loudspeaker", "pass");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
  });

  test("a point that failed at intake and fails now does not block", () => {
    const play = tested();
    read(play, "intake", "rear_camera", "fail");
    read(play, "final", "rear_camera", "fail");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
  });

  test("a failure that was not known at intake blocks until it says what was agreed", () => {
    const play = tested();
    read(play, "intake", "nfc", "cannot", "locked");
    read(play, "final", "nfc", "fail");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("test-blocks");
    read(play, "final", "nfc", "fail", "customer told, accepts it");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
  });

  test("a paired part must work, unless it failed or could not be tested at intake", () => {
    const play = tested();
    read(play, "final", "fingerprint", "cannot", "locked");
    expect(mayCloseTests(play.job, DISPLAY, names)).toMatchObject({
      problem: { slug: "test-blocks", detail: "fingerprint." },
    });
    read(play, "intake", "fingerprint", "cannot", "locked");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
    read(play, "intake", "fingerprint", "fail");
    read(play, "final", "fingerprint", "fail");
    expect(slug(mayCloseTests(play.job, DISPLAY, names))).toBe("ok");
  });
});

describe("a stopped job", () => {
  for (const procedure of SHIPPED) {
    const places = derive(procedure).map((s) => s.id);
    test.each(places)(`closes to zero when ${procedure.id} is stopped at %s`, (at) => {
      const play = new Play(procedure);
      play.doUntil(at);
      play.write({ kind: "job.stopped", job: JOB, body: { reason: "other", note: "stopped by the test" } });
      expect(isStopped(play.job)).toBe(true);
      for (let step = play.open; step !== null && step.id !== "leftover"; step = play.open) {
        expect(slug(mayDo(play.job, procedure, step.id))).toBe("ok");
        play.do(step);
      }
      expect(openGroups(play.job.ledger)).toEqual([]);
      expect(openConnectors(play.job.connectors)).toEqual([]);
      expect(slug(mayCloseJob(play.job, procedure))).toBe("ok");
      expect(play.job.findings).toEqual([]);
      play.write({ kind: "leftover.checked", job: JOB, body: { photos: [], traces: "removed" } });
      expect(play.job.stage).toBe("ready");
      expect(play.job.findings).toEqual([]);
    });

    test.each(places)(
      `of ${procedure.id}, lifted after it was closed from %s, is opened again and closes to zero`,
      (at) => {
        const play = new Play(procedure);
        play.doUntil(at);
        play.write({ kind: "job.stopped", job: JOB, body: { reason: "other", note: "stopped by the test" } });
        play.doUntil("leftover");
        play.write({ kind: "stop.lifted", job: JOB, body: { reason: "liquid", plan: "go_on", why: "measured again" } });
        for (const step of afterLift(play.job, procedure).undo)
          play.write({ kind: "step.undone", job: JOB, body: { step } });
        expect(afterLift(play.job, procedure)).toEqual({ undo: [], answered: [] });
        for (
          let step = nextStep(play.job, procedure);
          step !== null && step.id !== "leftover";
          step = nextStep(play.job, procedure)
        ) {
          expect(slug(mayDo(play.job, procedure, step.id))).toBe("ok");
          play.do(step);
        }
        expect(slug(mayCloseJob(play.job, procedure))).toBe("ok");
        expect(play.job.findings).toEqual([]);
      },
    );
  }

  test("asks for the old part only once all was moved over to the new one", () => {
    const play = new Play(DISPLAY);
    play.doUntil("button-on");
    play.write({ kind: "job.stopped", job: JOB, body: { reason: "paired", note: "x" } });
    expect(walk(play.job, DISPLAY).map((s) => s.id)).not.toContain("core");
    const late = new Play(DISPLAY);
    late.doUntil("apart-back");
    late.write({ kind: "job.stopped", job: JOB, body: { reason: "other", note: "x" } });
    expect(walk(late.job, DISPLAY).map((s) => s.id)).toContain("core");
    expect(slug(mayCloseJob(late.job, DISPLAY))).toBe("ledger-open");
  });
});

describe("five bracket screws of three lengths, button bracket, base, four cables", () => {
  test("the whole walk balances to zero", () => {
    const play = new Play(BRACKETS);
    play.doUntil("liquid");
    expect(inTray(play.job.ledger.base)).toBe(2);
    play.doUntil("button-bracket-back");
    const held = openGroups(play.job.ledger).map((g) => g.count);
    expect(held.reduce((sum, n) => sum + n, 0)).toBe(2 + 3 + 1 + 1 + 2);
    expect([...openConnectors(play.job.connectors)].sort()).toEqual(["battery", "button", "front", "panel", "touch"]);
    play.doUntil("leftover");
    expect(openGroups(play.job.ledger)).toEqual([]);
    expect(openConnectors(play.job.connectors)).toEqual([]);
    expect(slug(mayCloseJob(play.job, BRACKETS))).toBe("ok");
  });

  const screws = BRACKETS.fasteners.flatMap((f) => Array.from({ length: f.count }, (_, i) => [f.id, i + 1] as const));
  test.each(screws)("leftover is refused while of %s screw number %i is still in the tray", (group, number) => {
    const play = new Play(BRACKETS);
    play.doUntil("leftover");
    const pocket = BRACKETS.fasteners.find((f) => f.id === group)?.pocket as number;
    play.write({ kind: "fastener.removed", job: JOB, body: { step: "base", group, pocket, count: number } });
    if (number > 1)
      play.write({ kind: "fastener.returned", job: JOB, body: { step: "base", group, pocket, count: number - 1 } });
    const answer = mayCloseJob(play.job, BRACKETS);
    expect(answer).toMatchObject({
      ok: false,
      problem: { slug: "ledger-open", detail: `1 × ${group}, pocket ${pocket}` },
    });
    play.write({ kind: "leftover.checked", job: JOB, body: { photos: [], traces: "removed" } });
    expect(play.job.findings.map((f) => f.slug)).toEqual(["ledger-open"]);
  });

  test.each(BRACKETS.connectors.map((c) => c.id))("leftover is refused while the %s cable is out", (connector) => {
    const play = new Play(BRACKETS);
    play.doUntil("leftover");
    play.write({ kind: "connector.unplugged", job: JOB, body: { step: "cables", connector } });
    expect(slug(mayCloseJob(play.job, BRACKETS))).toBe("connector-open");
  });

  test("leftover is refused while the old part has no label", () => {
    const play = new Play(BRACKETS);
    play.doUntil("core");
    expect(slug(mayCloseJob(play.job, BRACKETS))).toBe("core-untagged");
  });
});

describe("texts of the shipped procedures", () => {
  test.each(SHIPPED.map((p) => [p.id, p] as const))(
    "%s: display under a right angle until unplugged, its limit said in words, pink is tripped",
    (_, procedure) => {
      const steps = derive(procedure);
      const lift = steps.find((s) => s.id === "lift");
      const limit = lift?.ops.flatMap((op) => ("what" in op ? [op.angle_max_deg] : []))[0];
      expect(limit).toBeLessThanOrEqual(90);
      expect(lift?.say.join(" ")).toContain(`never past ${limit} degrees`);
      expect(steps.findIndex((s) => s.id === "lift")).toBeLessThan(
        steps.findIndex((s) => s.ops.some((op) => op.op === "unplug")),
      );
      expect(steps.find((s) => s.gate === "liquid")?.say.join(" ")).toMatch(/[Ss]lightly pink counts as tripped/);
    },
  );
});
