/** What a customer may read of a job: every failing point, no word of the bench's own. */

import type { PhotoUse } from "@pwa/events/kinds.gen.ts";
import type { Job } from "@pwa/fold/state.ts";
import { attributionRows, verdicts } from "@pwa/tables/attribution.ts";
import { customerSheet } from "@pwa/views/record.ts";
import recordTable from "@shared/record.json";
import { expect, test } from "vitest";
import { aJob, at, reading } from "./counterStation.ts";
import { linesOf } from "./recordParts.ts";
import { textOf } from "./texts.ts";

const record = (job: Job) => customerSheet("J7K2000010", job);
const points = ["display_light", "front_camera", "proximity", "vibration"];

test("points that worked throughout are told in one sentence, failing ones in a line each and first", () => {
  const tests = Object.fromEntries(
    points.flatMap((p) => [
      [`intake/${p}`, reading("pass")],
      [`final/${p}`, reading("pass")],
    ]),
  );
  const sheet = record(
    aJob({
      tests: {
        ...tests,
        "intake/headset": reading("cannot", null, "No socket"),
        "intake/touch": reading("pass"),
        "final/touch": reading("fail"),
      },
    }),
  );
  expect(sheet.rows.map((r) => [r.name, r.fails])).toEqual([
    ["Touch", true],
    ["Wired headset", false],
  ]);
  expect(sheet.rows[0]?.says).toBe("Worked when it came in, fails now.");
  expect(sheet.rows[1]?.says).toBe("Not tested at the end. No socket");
  expect(sheet.alike.map(([says, names]) => [says, names.split(", ").length])).toEqual([
    ["Worked when it came in, works now.", points.length],
  ]);
});

test("a point that failed at intake and was not tested again is not hidden among those that worked", () => {
  const tests = Object.fromEntries(points.map((p) => [`intake/${p}`, reading("pass")]));
  const sheet = record(aJob({ tests: { ...tests, "intake/touch": reading("fail") } }));
  expect(sheet.rows.map((r) => r.says)).toEqual(["Failed when it came in. Not tested at the end."]);
  expect(sheet.alike).toHaveLength(1);
});

test("the last round of the final test stands in the table, earlier ones are named with what they said", () => {
  const sheet = record(
    aJob({
      tests: {
        "intake/touch": reading("pass"),
        "final/touch": reading("fail"),
        "final/wifi": reading("pass"),
        "final/sim": reading("cannot", "no_sim"),
      },
      final_rounds: [{ ...at(2), round: 2, why: "Opened again on the bench" }],
      final_tests: { "2/touch": { ...reading("pass"), ...at(2) } },
    }),
  );
  expect(sheet.rows.find((r) => r.name === "Touch")?.says).toBe("Worked when it came in, works now.");
  expect(sheet.rounds?.lines).toEqual([
    "The device was opened again after it was tested. What stands at the end is test 2.",
    "Test 1: 1 worked; did not work: Touch; no test: SIM tray.",
  ]);
  expect(sheet.rows.map((r) => [r.name, r.says])).toContainEqual(["Wireless network", "Not tested at the end."]);
  expect(record(aJob({ tests: { "final/touch": reading("fail") } })).rounds).toBeNull();
});

test("notes, reasons of losses and the photos of the shop's own work are left out", () => {
  const photo = (use: PhotoUse) => ({ ...at(1), use, note: null, width: 4, height: 3 });
  const sheet = record(
    aJob({
      notes: [{ ...at(1), note: textOf("Nervous customer") }],
      liquid: [{ ...at(1), indicator: "red", signs: ["rust"], photos: [], note: textOf("It was dew") }],
      losses: [
        {
          ...at(1),
          group: "x",
          count: 1,
          what: "lost",
          why: textOf("Slipped"),
          replaced: 1,
          replaced_by: "a new one",
        },
      ],
      photos: { a: photo("leftover"), b: photo("liquid"), c: photo("core"), d: photo("intake") },
      steps: { open: at(1) },
    }),
  );
  expect(sheet.photos.map((photo) => photo.sha256)).toEqual(["d", "b"]);
  expect(linesOf(sheet.parts, "What was found")).toEqual([
    "Signs of liquid: indicator red, rust",
    "1 × screw lost, 1 replaced by a new one",
  ]);
  expect(sheet.cautions).toEqual([recordTable.cautions.liquid, recordTable.cautions.opened]);
  expect(JSON.stringify(sheet)).not.toMatch(/Nervous|dew|Slipped/);
});

test("each verdict has words for the customer, which are not the bench's", () => {
  const words = recordTable.verdicts as Readonly<Record<string, string>>;
  for (const { verdict } of attributionRows) {
    expect(words[verdict]).toBeTruthy();
    for (const step of (verdicts[verdict]?.say ?? "").split(". ").slice(1)) expect(words[verdict]).not.toContain(step);
  }
});
