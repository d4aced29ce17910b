import {
  barredWords,
  coveragePct,
  deadZone,
  type Found,
  noteOf,
  type Proposal,
  proposalsOf,
  whyOf,
} from "@pwa/facts/selfTest.ts";
import type { Job } from "@pwa/fold/state.ts";
import { testPoints } from "@pwa/tables/testPoints.ts";
import { blankRecords } from "@pwa/tables.ts";
import { describe, expect, it } from "vitest";

const NOTHING: Found = {
  touch: null,
  picture: null,
  light: null,
  speaker: null,
  microphone: null,
  front_camera: null,
  rear_camera: null,
  vibration: null,
  gyroscope: null,
  compass: null,
  keys: null,
  network: null,
  barred: {},
};
const ALL = Object.keys(testPoints);
const glass = (reached: string, fingers = 2) => ({ columns: 3, rows: 3, reached, fingers, screen_pct: 90 });
const propose = (found: Partial<Found>): readonly Proposal[] => proposalsOf({ ...NOTHING, ...found }, ALL);
const only = (found: Partial<Found>): Proposal => {
  const [one, ...others] = propose(found);
  expect(others).toEqual([]);
  return one as Proposal;
};
const job = (tests: Job["tests"]): Job => ({ ...(blankRecords.job as unknown as Job), tests });
const reading = (result: "pass" | "fail" | "cannot") => ({
  result,
  because: null,
  why: null,
  try: null,
  event: "7K2.1",
  staff: null,
  at_ms: 0,
});

describe("what a device found becomes proposals", () => {
  it("proposes nothing when all was skipped", () => {
    expect(propose({})).toEqual([]);
  });
  it("fails touch for one dead cell and never calls that 100 %", () => {
    const reached = `${"1".repeat(300)}0`;
    const touch = { columns: 7, rows: 43, reached, fingers: 2, screen_pct: 90 };
    expect(coveragePct(touch)).toBe(99);
    const [first] = propose({ touch });
    expect(first).toMatchObject({ point: "touch", result: "fail" });
    expect(first?.evidence).toBe(
      "measured: 99 % of the glass answers; 1 of 301 cells dead, lower right; the page had 90 % of the screen",
    );
  });
  it("passes touch when every cell answered", () => {
    expect(propose({ touch: glass("111111111") }).map((p) => [p.point, p.result])).toEqual([
      ["touch", "pass"],
      ["multi_touch", "pass"],
    ]);
  });
  it("leaves two-finger touch to the technician when a second finger was never seen", () => {
    expect(propose({ touch: glass("111111111", 1) })[1]).toMatchObject({ point: "multi_touch", result: null });
  });
  it.each([
    ["011111111", "upper left"],
    ["111111110", "lower right"],
    ["111101111", "middle"],
    ["000111111", "upper"],
    ["110110110", "right"],
  ])("names the dead zone of %s: %s", (reached, where) => {
    expect(deadZone(glass(reached))).toBe(where);
  });
  it("fails the loudspeaker for one bad tone and decides nothing from half of them", () => {
    expect(only({ speaker: { left: "good", right: "bad", sweep: "good" } })).toMatchObject({
      result: "fail",
      evidence: "answered: right tone not clear",
    });
    expect(only({ speaker: { left: "good", right: null, sweep: null } }).result).toBeNull();
    expect(only({ speaker: { left: "good", right: "good", sweep: "good" } }).result).toBe("pass");
  });
  it("does not believe in a motion sensor that hardly moved", () => {
    expect(only({ gyroscope: { answer: "good", tilt_deg: 19 } }).result).toBeNull();
    expect(only({ gyroscope: { answer: "good", tilt_deg: 20 } }).result).toBe("pass");
    expect(only({ gyroscope: { answer: "bad", tilt_deg: 90 } }).result).toBe("fail");
  });
  it("takes a compass for sound only when most of the circle was seen", () => {
    expect(only({ compass: { answer: "good", eighths: 5 } }).result).toBeNull();
    expect(only({ compass: { answer: "good", eighths: 6 } }).result).toBe("pass");
  });
  it("says nothing of buttons that the page does not see", () => {
    expect(propose({ keys: { volume_up: 3, volume_down: 0, sleeps: 0 } })).toEqual([]);
    expect(only({ keys: { volume_up: 1, volume_down: 1, sleeps: 0 } }).point).toBe("volume_buttons");
    expect(only({ keys: { volume_up: 0, volume_down: 0, sleeps: 2 } }).point).toBe("power_button");
  });
  it("passes the wireless network only when the browser says that it was used", () => {
    const network = { sent: 10, answered: 10, median_ms: 4, over: "wifi" };
    expect(only({ network }).result).toBe("pass");
    expect(only({ network: { ...network, answered: 9 } }).result).toBeNull();
    expect(only({ network: { ...network, over: "unknown" } }).result).toBeNull();
    expect(propose({ network: { ...network, over: "cellular" } })).toEqual([]);
  });
  it("proposes only points that are open, in the order of the table", () => {
    const found = { ...NOTHING, vibration: { answer: "good" }, touch: glass("111111111") } as Found;
    expect(proposalsOf(found, ["vibration", "touch"]).map((p) => p.point)).toEqual(["touch", "vibration"]);
    expect(proposalsOf(found, [])).toEqual([]);
  });
  it("says why the page could not test something", () => {
    expect(barredWords({ ...NOTHING, barred: { microphone: "insecure" } })).toEqual([
      "Microphone: the page came without https",
    ]);
  });
});

describe("the reason on a reading", () => {
  const fails: Proposal = { point: "touch", result: "fail", evidence: "measured: 96 %" };
  it("is what was measured", () => {
    expect(whyOf(job({ "intake/touch": reading("pass") }), "final", fails, "fail")).toBe("measured: 96 %");
  });
  it("says so when the technician judged otherwise", () => {
    expect(whyOf(job({}), "intake", fails, "pass")).toBe("judged by hand; the device said: measured: 96 %");
  });
  it("never stands where an agreement with the customer has to", () => {
    for (const tests of [{}, { "intake/touch": reading("cannot") }]) {
      expect(whyOf(job(tests), "final", fails, "fail")).toBeNull();
      expect(whyOf(job(tests), "final", fails, "pass")).not.toBeNull();
    }
  });
  it("and the note stay within what an event takes", () => {
    const long: Proposal = { ...fails, evidence: "a".repeat(190) };
    expect([...(whyOf(job({}), "intake", long, "pass") ?? "")].length).toBe(200);
    const note = noteOf(
      "final",
      Array.from({ length: 9 }, () => ({ proposal: long, result: "fail" as const })),
    );
    expect([...note].length).toBe(600);
  });
});
