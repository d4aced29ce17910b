/** A device whose customer keeps the code: what is tested otherwise, what is not, and what the record therefore cannot show. */

import { answered, answeredLocked, type Booking, barredPoints, openPoints, withLock } from "@pwa/facts/booking.ts";
import { becauseWords, reasonFor } from "@pwa/rules/because.ts";
import { howToTest, isBarred, lockedWhy } from "@pwa/rules/locked.ts";
import { notShown, pointsOf } from "@pwa/rules/tests.ts";
import { lockedReason, testPoints } from "@pwa/tables/testPoints.ts";
import { compare } from "@pwa/views/comparison.ts";
import { customerSheet } from "@pwa/views/record.ts";
import recordTable from "@shared/record.json";
import { describe, expect, test } from "vitest";
import { aJob, at, reading } from "./counterStation.ts";
import { linesOf } from "./recordParts.ts";

const draft = (lock: "locked" | "unlocked"): Booking => ({ lock, tests: {} }) as unknown as Booking;
const BARRED = pointsOf("intake").filter(isBarred);

test("a point is tested in another way only while the device stays locked", () => {
  expect(howToTest("sim", false)).toBe(testPoints.sim?.how);
  expect(howToTest("rear_camera", true)).toMatch(/from the lock screen/);
  expect(howToTest("charging", true)).toBe(testPoints.charging?.how);
  expect(howToTest("wifi", true)).toMatch(/open a page\. .*behind the lock\.$/);
  expect([isBarred("wifi"), isBarred("rear_camera"), isBarred("charging")]).toEqual([true, false, false]);
});

test("a point of another version is shown by its slug, whatever that is", () => {
  const job = aJob({ tests: { "intake/constructor": reading("pass"), "intake/from_later": reading("pass") } });
  expect(compare(job).map((row) => row.name)).toEqual(["constructor", "from_later"]);
  expect([isBarred("constructor"), howToTest("constructor", true)]).toEqual([false, ""]);
});

test("each barred point has its own reason, and all of them are written and known again as the lock's", () => {
  const reasons = BARRED.map(lockedWhy);
  expect(BARRED.length).toBeGreaterThan(1);
  expect(BARRED.map((point) => reasonFor(point, lockedWhy(point)))).toEqual(BARRED.map(() => ({ because: "locked" })));
  expect(BARRED.map((point) => becauseWords(point, "locked"))).toEqual(reasons);
  expect(reasons).not.toContain(lockedReason);
  expect([lockedWhy("torch"), reasonFor("wifi", "No SIM card"), reasonFor("wifi", "")]).toEqual([
    lockedReason,
    { because: "no_sim" },
    {},
  ]);
});

describe("the intake sheet", () => {
  test("one press answers what the lock bars, each with its reason, and nothing else", () => {
    const before = { ...draft("locked"), tests: { wifi: { result: "pass" as const, why: "" } } };
    const tests = answeredLocked(before);
    expect(Object.keys(tests).sort()).toEqual([...BARRED].sort());
    expect(tests.wifi).toEqual({ result: "pass", why: "" });
    expect(tests.location).toEqual({ result: "cannot", why: lockedWhy("location") });
    expect(openPoints({ ...before, tests })).toEqual(pointsOf("intake").filter((p) => !isBarred(p)));
  });

  test("an unlocked device has nothing barred", () => {
    expect(barredPoints(draft("unlocked"))).toEqual([]);
  });

  test("a changed lock opens again what it decides, and keeps the rest", () => {
    const locked = draft("locked");
    const tests = {
      ...answeredLocked(locked),
      ...answered(locked, ["torch"], { result: "cannot", why: lockedReason }),
      ...answered(locked, ["touch"], { result: "fail", why: "" }),
      ...answered(locked, ["sim"], { result: "cannot", why: "No SIM card" }),
    };
    expect(Object.keys(withLock({ ...locked, tests }, "unlocked").tests)).toEqual(["touch", "sim"]);
    expect(withLock({ ...locked, tests }, "locked").tests).toBe(tests);
  });
});

describe("what could not be shown", () => {
  const cannot = reading("cannot", "locked");

  test("is said by the latest reading of a point", () => {
    expect(notShown(aJob({ tests: { "intake/wifi": cannot } }))).toEqual(["wifi"]);
    expect(notShown(aJob({ tests: { "intake/wifi": cannot, "final/wifi": reading("pass") } }))).toEqual([]);
    expect(notShown(aJob({ tests: { "intake/wifi": reading("pass"), "final/wifi": cannot } }))).toEqual(["wifi"]);
    expect(notShown(aJob({ tests: { "intake/wifi": reading("cannot", "dead") } }))).toEqual([]);
    const rounds = { final_rounds: [{ ...at(2), round: 2, why: null }], final_tests: { "2/wifi": reading("pass") } };
    expect(notShown(aJob({ tests: { "final/wifi": cannot }, ...rounds }))).toEqual([]);
  });

  test("comes after whatever wants a look when the stages are compared", () => {
    const tests = {
      "final/wifi": cannot,
      "final/sim": reading("cannot", "no_sim"),
      "final/touch": reading("pass"),
    };
    expect(compare(aJob({ lock: "locked", tests })).map((r) => r.point)).toEqual(["sim", "touch", "wifi"]);
  });

  test("stands on the record once, by name, and not as a line among the tests", () => {
    const tests = {
      "intake/wifi": cannot,
      "final/wifi": cannot,
      "intake/nfc": reading("pass"),
      "final/nfc": reading("cannot", "locked"),
      "intake/touch": reading("fail"),
      "final/touch": reading("pass"),
    };
    const record = customerSheet("J7K2000010", aJob({ lock: "locked", tests }));
    expect(linesOf(record.parts, recordTable.locked.title)).toEqual([
      recordTable.locked.kept,
      "Could not be shown: Wireless network, Contactless.",
    ]);
    // What once had an outcome keeps its line, so that nothing known is hidden.
    expect(record.rows.map((r) => r.name)).toEqual(["Touch", "Contactless"]);
    const open = customerSheet("J7K2000010", aJob({ lock: "unlocked", tests }));
    expect(linesOf(open.parts, recordTable.locked.title)).toEqual([]);
    expect(open.rows.map((r) => r.name)).toEqual(["Touch", "Wireless network", "Contactless"]);
  });
});
