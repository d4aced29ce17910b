/** What a customer may read of a job: every failing point, no word of the bench's own. */

import type { PhotoUse } from "@pwa/events/kinds.gen.ts";
import { attributionRows, verdicts } from "@pwa/tables/attribution.ts";
import { customerRecord } from "@pwa/views/record.ts";
import recordTable from "@shared/record.json";
import { expect, test } from "vitest";
import { aJob, at } from "./counterStation.ts";

const reading = (result: "pass" | "fail" | "cannot", why: string | null = null) => ({
  ...at(1),
  result,
  why,
  try: null,
});
const points = ["display_light", "front_camera", "proximity", "vibration"];

test("points that worked throughout are told in one sentence, failing ones in a line each and first", () => {
  const tests = Object.fromEntries(
    points.flatMap((p) => [
      [`intake/${p}`, reading("pass")],
      [`final/${p}`, reading("pass")],
    ]),
  );
  const record = customerRecord(
    aJob({
      tests: {
        ...tests,
        "intake/headset": reading("cannot", "No socket"),
        "intake/touch": reading("pass"),
        "final/touch": reading("fail"),
      },
    }),
  );
  expect(record.rows.map((r) => [r.point, r.fails])).toEqual([
    ["touch", true],
    ["headset", false],
  ]);
  expect(record.rows[0]?.says).toBe("Worked when it came in, fails now.");
  expect(record.rows[1]?.says).toBe("Not tested at the end. No socket");
  expect(record.alike.map(([says, names]) => [says, names.length])).toEqual([
    ["Worked when it came in, works now.", points.length],
  ]);
});

test("a point that failed at intake and was not tested again is not hidden among those that worked", () => {
  const tests = Object.fromEntries(points.map((p) => [`intake/${p}`, reading("pass")]));
  const record = customerRecord(aJob({ tests: { ...tests, "intake/touch": reading("fail") } }));
  expect(record.rows.map((r) => r.says)).toEqual(["Failed when it came in. Not tested at the end."]);
  expect(record.alike).toHaveLength(1);
});

test("the last round of the final test stands in the table, earlier ones are named with what they said", () => {
  const late = (result: "pass" | "fail" | "cannot", why: string | null = null) => ({ ...at(2), result, why });
  const record = customerRecord(
    aJob({
      tests: {
        "intake/touch": reading("pass"),
        "final/touch": reading("fail"),
        "final/wifi": reading("pass"),
        "final/sim": reading("cannot", "No SIM card"),
      },
      final_rounds: [{ ...at(2), round: 2, why: "Opened again on the bench" }],
      final_tests: { "2/touch": late("pass") },
    }),
  );
  expect(record.rows.find((r) => r.point === "touch")?.says).toBe("Worked when it came in, works now.");
  expect(record.rounds).toEqual([
    "The device was opened again after it was tested. What stands at the end is test 2.",
    "Test 1: 1 worked; did not work: Touch; no test: SIM tray.",
  ]);
  expect(record.rows.map((r) => [r.point, r.says])).toContainEqual(["wifi", "Not tested at the end."]);
  expect(customerRecord(aJob({ tests: { "final/touch": reading("fail") } })).rounds).toEqual([]);
});

test("notes, reasons of losses and the photos of the shop's own work are left out", () => {
  const photo = (use: PhotoUse) => ({ ...at(1), use, note: null, width: 4, height: 3 });
  const record = customerRecord(
    aJob({
      notes: [{ ...at(1), note: "Nervous customer" }],
      liquid: [{ ...at(1), indicator: "red", signs: ["rust"], photos: [], note: "It was dew" }],
      losses: [{ ...at(1), group: "x", count: 1, what: "lost", why: "Slipped", replaced: 1, replaced_by: "a new one" }],
      photos: { a: photo("leftover"), b: photo("liquid"), c: photo("core"), d: photo("intake") },
      steps: { open: at(1) },
    }),
  );
  expect(record.photos).toEqual(["d", "b"]);
  expect(record.found).toEqual(["Signs of liquid: indicator red, rust", "1 × screw lost, 1 replaced by a new one"]);
  expect(record.cautions).toEqual([recordTable.cautions.liquid, recordTable.cautions.opened]);
  expect(JSON.stringify(record)).not.toMatch(/Nervous|dew|Slipped/);
});

test("each verdict has words for the customer, which are not the bench's", () => {
  const words = recordTable.verdicts as Readonly<Record<string, string>>;
  for (const { verdict } of attributionRows) {
    expect(words[verdict]).toBeTruthy();
    for (const step of (verdicts[verdict]?.say ?? "").split(". ").slice(1)) expect(words[verdict]).not.toContain(step);
  }
});
