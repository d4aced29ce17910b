/** TypeScript reads an indicator's colour as the vectors and the published tables say (shared/colour.json). */
import { readFileSync } from "node:fs";
import {
  ciede2000,
  type Disc,
  discPixels,
  judge,
  type Lab,
  labOf,
  linear,
  patchOf,
  type Reading,
  type Rgb,
  readIndicator,
  sureWord,
} from "@pwa/rules/colour.ts";
import { expect, it, test } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Runs = readonly { readonly rgb: Rgb; readonly times: number }[];
type Vector = {
  readonly name: string;
  readonly indicator: Runs;
  readonly reference: Runs;
  readonly expect: Reading;
};

const all = vectors<Vector>("colour", { keys: ["name", "comment", "indicator", "reference", "expect"] });

test.each(all.map((vector) => [vector.name, vector] as const))("%s", (_, vector) => {
  expect(readIndicator(pixelsOf(vector.indicator), pixelsOf(vector.reference))).toEqual(vector.expect);
});

it("has no vector where a last bit could round either way", () => {
  for (const { name, indicator, reference, expect: said } of all) {
    if (said.de00_centi === null) continue;
    const [seen, white] = [patchOf(pixelsOf(indicator)).mean, patchOf(pixelsOf(reference)).mean];
    const lab = labOf([seen[0] / white[0], seen[1] / white[1], seen[2] / white[2]]);
    const scaled = ciede2000(lab, [lab[0], 0, 0]) * 100;
    expect(Math.abs(scaled - Math.floor(scaled) - 0.5), name).toBeGreaterThan(1e-6);
  }
});

it("calls a grey beside white untouched, however dark, and in whatever order its pixels come", () => {
  const paper = Array<Rgb>(200).fill([216, 216, 216]);
  for (let level = 60; level <= 245; level += 1) {
    const { verdict, de00_centi } = readIndicator(Array<Rgb>(200).fill([level, level, level]), paper);
    expect([verdict, de00_centi]).toEqual(["untouched", 0]);
  }
  const mixed = Array.from({ length: 300 }, (_, n): Rgb => [(n * 37) % 256, (n * 91) % 256, (n * 53) % 256]);
  expect(patchOf([...mixed].reverse())).toEqual(patchOf(mixed));
});

it("is never surer than its limit, nor less sure than a coin toss", () => {
  for (let de00 = 0; de00 <= 20_000; de00 += 97) {
    for (let hue = 0; hue < 360; hue += 7) {
      const { verdict, reason, sure_pm } = judge(de00, hue);
      if (verdict === "cannot_tell") expect([reason, sure_pm]).toEqual(["other_colour", 0]);
      else expect(reason === null && sure_pm >= 500 && sure_pm <= 950).toBe(true);
    }
  }
});

it("has a word for how sure", () => {
  expect([950, 900, 899, 700, 699, 500].map(sureWord)).toEqual([
    ...["quite sure", "quite sure", "fairly sure", "fairly sure", "unsure", "unsure"],
  ]);
});

it("agrees with the published pairs of CIEDE2000, both ways round", () => {
  const pairs = tableOf("ciede2000");
  expect(pairs).toHaveLength(34);
  for (const row of pairs) {
    const one: Lab = [Number(row.L1), Number(row.a1), Number(row.b1)];
    const two: Lab = [Number(row.L2), Number(row.a2), Number(row.b2)];
    for (const difference of [ciede2000(one, two), ciede2000(two, one)]) {
      expect(Math.abs(difference - Number(row.dE00_published_4dp))).toBeLessThan(1e-4);
      expect(Math.abs(difference - Number(row["dE00_colour_science_0.4.7"]))).toBeLessThan(1e-8);
    }
  }
});

it("turns sRGB into Lab as two libraries do", () => {
  for (const row of tableOf("srgb_lab_d65")) {
    const [r, g, b] = [1, 3, 5].map((at) => linear(Number.parseInt(row.hex?.slice(at, at + 2) ?? "", 16)) / 10_000_000);
    const lab = labOf([r ?? 0, g ?? 0, b ?? 0]);
    for (const library of ["colour_science", "skimage"]) {
      (["L", "a", "b"] as const).forEach((name, n) => {
        expect(Math.abs((lab[n] ?? Number.NaN) - Number(row[`${name}_${library}`]))).toBeLessThan(0.05);
      });
    }
  }
});

it("turns levels into linear light by the table", () => {
  const rows = tableOf("linear");
  expect(rows).toHaveLength(256);
  expect(rows.map((row) => linear(Number(row.level)))).toEqual(rows.map((row) => Number(row.linear)));
});

it("judges differences and hues by the table", () => {
  for (const row of tableOf("judge")) {
    const { verdict, reason, sure_pm } = judge(Number(row.de00_centi), Number(row.hue_deg));
    expect([verdict, reason ?? "", String(sure_pm)]).toEqual([row.verdict, row.reason, row.sure_pm]);
  }
});

it("finds the pixels of a disc that the table has", () => {
  for (const row of tableOf("disc")) {
    const [width, height] = [Number(row.width), Number(row.height)];
    const disc: Disc = { x_pm: Number(row.x_pm), y_pm: Number(row.y_pm), r_pm: Number(row.r_pm) };
    // Each pixel's colour encodes its position.
    const data = new Uint8ClampedArray(4 * width * height);
    for (let at = 0; at < width * height; at += 1) data.set([at % width, Math.floor(at / width), 0, 255], 4 * at);
    const found = discPixels({ width, height, data }, disc);
    const sums = [found.length, sum(found.map((p) => p[0])), sum(found.map((p) => p[1]))];
    expect(sums).toEqual([Number(row.pixels), Number(row.columns_sum), Number(row.rows_sum)]);
  }
});

const pixelsOf = (runs: Runs): readonly Rgb[] => runs.flatMap(({ rgb, times }) => Array<Rgb>(times).fill(rgb));
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

function tableOf(name: string): readonly Readonly<Record<string, string>>[] {
  const text = readFileSync(new URL(`../../shared/vectors/colour/${name}.csv`, import.meta.url), "utf8");
  const [header, ...rows] = text.trim().split("\n");
  const names = header?.split(",") ?? [];
  if (rows.length === 0) throw new Error(`${name} is empty`);
  // The last column, a source, may hold commas of its own.
  return rows.map((row) => Object.fromEntries(names.map((column, n) => [column, row.split(",")[n] ?? ""])));
}
