/** Which static check counted for work is found in TypeScript as the vectors say (shared/esd.json). */
import { esdChecks, intervalOf, isUnderAdvice, passes, stands, type WorkDay, workDays } from "@pwa/rules/esd.ts";
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

it("lets a check at every sign-on stand until the next", () => {
  expect(stands(1_000, 2_000, "sign_on", dayIn("UTC"), 1_000)).toBe(true);
  expect(stands(999, 2_000, "sign_on", dayIn("UTC"), 1_000)).toBe(false);
});

it("fails the limit itself", () => {
  for (const { below_ohms } of Object.values(esdChecks)) {
    expect(passes(below_ohms, below_ohms)).toBe(false);
    expect(passes(below_ohms - 1, below_ohms)).toBe(true);
  }
  expect([isUnderAdvice("mat", 9_999), isUnderAdvice("mat", 10_000), isUnderAdvice("wrist_strap", 0)]).toEqual([
    true,
    false,
    false,
  ]);
});
