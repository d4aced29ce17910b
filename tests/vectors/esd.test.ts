/** TypeScript finds which static check counted for work as the vectors say (shared/esd.json). */
import { readFileSync } from "node:fs";
import { esdChecks, type Item, intervalOf, judge, stands, type WorkDay, workDays } from "@pwa/rules/esd.ts";
import { dayIn } from "@pwa/views/days.ts";
import { expect, it, test } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly interval: string;
  readonly time_zone: string;
  readonly moments: readonly number[];
  readonly checks: readonly number[];
  readonly expect: readonly WorkDay[];
};

const all = vectors<Vector>("esd", {
  keys: ["name", "comment", "interval", "time_zone", "moments", "checks", "expect"],
});

test.each(all.map((vector) => [vector.name, vector] as const))("%s", (_, vector) => {
  expect(workDays(vector.moments, vector.checks, vector.interval, dayIn(vector.time_zone))).toEqual(vector.expect);
});

it("reads a setting that is missing or unknown as the default", () => {
  expect(intervalOf("wrist_strap", {})).toBe("day");
  expect(intervalOf("wrist_strap", { strap_interval: "never" })).toBe("day");
  expect(intervalOf("wrist_strap", { strap_interval: "hours_8" })).toBe("hours_8");
  expect(intervalOf("mat", { mat_interval: "hours_8" })).toBe("month");
});

it("lets a check count until the next sign-on when it is due at every sign-on", () => {
  expect(stands(1_000, 2_000, "sign_on", dayIn("UTC"), 1_000)).toBe(true);
  expect(stands(999, 2_000, "sign_on", dayIn("UTC"), 1_000)).toBe(false);
});

const READINGS = readFileSync(new URL("../../shared/vectors/esd/readings.csv", import.meta.url), "utf8")
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => line.split(",") as [Item, string, string]);

it.each(READINGS)("judges %s at %s ohm: %s", (item, ohms, judged) => {
  expect(judge(item, Number(ohms), esdChecks[item].below_ohms)).toBe(judged);
});

it("judges by the limit that counted when it was measured", () => {
  expect(judge("wrist_strap", 1_000_000, 1_000_000)).toBe("failed");
  expect(judge("wrist_strap", 1_000_000, 1_000_001)).toBe("passed");
});
