import { byModel } from "@pwa/facts/catalogue.ts";
import { derive } from "@pwa/rules/procedure.ts";
import { doneText } from "@pwa/views/bench.ts";
import { cautionsOf } from "@pwa/views/cautions.ts";
import { ohmText } from "@pwa/views/staticChecks.ts";
import { listed } from "@pwa/words/format.ts";
import { expect, test } from "vitest";
import { BRACKETS, DISPLAY, SHIPPED } from "./benchKit.ts";

test.each([
  ["off", "Done"],
  ["latch", "Done: screws are in pocket 1"],
  ["shield", "Done: screws are in pockets 2 and 3"],
  ["chin", "Done: unplugged, screws are in pocket 5"],
  ["chin-back", "Done: plugged in, screws are back in"],
  ["latch-back", "Done: screws are back in"],
  ["ear-over", "Done: moved over, screws are in"],
  ["cables", "Done: unplugged"],
  ["cables-back", "Done: plugged in"],
  ["lift", "Done: lifted off"],
  ["lift-back", "Done: seated"],
])("step %s is finished with the words %s", (id, words) => {
  const step = derive(DISPLAY).find((s) => s.id === id);
  expect(doneText(step as NonNullable<typeof step>, DISPLAY)).toBe(words);
});

test("cautions stand with the most dangerous first, each once", () => {
  expect(cautionsOf(["static", "cable", "battery", "glass", "battery"]).map((c) => c.id)).toEqual([
    "battery",
    "glass",
    "cable",
    "static",
  ]);
});

test("every caution of the shipped procedures is in the table", () => {
  const named = SHIPPED.flatMap((p) => derive(p).flatMap((s) => s.cautions));
  expect(named.length).toBeGreaterThan(10);
  expect(cautionsOf(named).filter((c) => c.text === "")).toEqual([]);
});

test("procedures for the model come first", () => {
  expect(byModel([BRACKETS, ...SHIPPED], "Quillet 5").map((p) => p.id)).toEqual([
    "quillet5-display",
    "quillet5-battery",
    "bracket-check",
  ]);
});

test("lists and resistances read as people say them", () => {
  expect([listed([]), listed(["1"]), listed(["1", "2"]), listed(["1", "2", "3"])]).toEqual([
    "",
    "1",
    "1 and 2",
    "1, 2 and 3",
  ]);
  expect([ohmText(1_200_000), ohmText(950_000), ohmText(34_999_000), ohmText(1_000_000_000)]).toEqual([
    "1.2 M ohm",
    "950 k ohm",
    "34.999 M ohm",
    "1 G ohm",
  ]);
});
