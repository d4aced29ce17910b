/**
 * What the colour of a marked indicator says (shared/colour.json). It advises; a person decides.
 *
 * Two discs of a photo, the indicator and something white under the same light, become two average colours in linear
 * light. Dividing one by the other takes the light's own colour out. What is left is compared, by CIEDE2000 and hue,
 * with an untouched indicator: neutral, and as bright as the one on the photo, since brightness is the lamp's doing.
 * Sums are whole numbers, so they are exact; roots and angles may differ in the last bit, which rounding removes.
 */
import colourTable from "@shared/colour.json";

export type Rgb = readonly [number, number, number];
export type Lab = readonly [lightness: number, a: number, b: number];

/** A place on a photo, in thousandths: across of its width, down of its height, radius of its longer side. */
export type Disc = { readonly x_pm: number; readonly y_pm: number; readonly r_pm: number };

/** A decoded photo: four bytes per pixel. */
export type Pixels = { readonly width: number; readonly height: number; readonly data: Uint8ClampedArray };

export type ColourVerdict = keyof typeof colourTable.verdicts;
export type ColourReason = keyof typeof colourTable.reasons;
export type Limit = keyof typeof colourTable.limits;

/** The advice. Difference and hue are there when there was something to measure. */
export type Reading = {
  readonly verdict: ColourVerdict;
  readonly sure_pm: number;
  readonly reason: ColourReason | null;
  readonly de00_centi: number | null;
  readonly hue_deg: number | null;
};

/** What the pixels of a disc have in common. */
export type Patch = {
  readonly pixels: number;
  readonly clipped_pm: number;
  readonly dark_pm: number;
  readonly uneven_pm: number;
  readonly mean: Rgb;
};

export const COLOUR_REVISION = colourTable.revision;
export const colourVerdicts = colourTable.verdicts;
export const colourReasons = colourTable.reasons;

/** The reading of two lists of pixels. */
export function readIndicator(indicator: readonly Rgb[], reference: readonly Rgb[]): Reading {
  const seen = patchOf(indicator);
  const white = patchOf(reference);
  const reason = unusable(seen, white);
  if (reason !== null) return cannotTell(reason, null, null);
  const [r, g, b] = seen.mean;
  const lab = labOf([r / white.mean[0], g / white.mean[1], b / white.mean[2]]);
  const de00 = Math.floor(ciede2000(lab, [lab[0], 0, 0]) * 100 + 0.5);
  return judge(de00, Math.floor(hueOf(lab[1], lab[2]) + 0.5) % 360);
}

/** The verdict on a difference and a hue, and how far both are from the limits. Whole numbers only. */
export function judge(de00_centi: number, hue_deg: number): Reading {
  const untouched = limit("untouched_below");
  const tripped = limit("tripped_from");
  const span = limit("sure_span");
  const measured = { reason: null, de00_centi, hue_deg };
  if (de00_centi < untouched) {
    return { verdict: "untouched", sure_pm: sure([[untouched - de00_centi, span]]), ...measured };
  }
  const inside = insideRed(hue_deg);
  if (inside < 0) return cannotTell("other_colour", de00_centi, hue_deg);
  const hue = [inside, limit("sure_hue_span")] as const;
  if (de00_centi >= tripped) {
    return { verdict: "tripped", sure_pm: sure([[de00_centi - tripped, span], hue]), ...measured };
  }
  const nearest = Math.min(de00_centi - untouched, tripped - de00_centi);
  return { verdict: "tinged", sure_pm: sure([[nearest, span], hue]), ...measured };
}

/** The pixels whose centre is in the disc, row by row. Whole numbers only: a unit is 1/2000 px. */
export function discPixels({ width, height, data }: Pixels, disc: Disc): readonly Rgb[] {
  const middleX = disc.x_pm * width * 2;
  const middleY = disc.y_pm * height * 2;
  const radius = disc.r_pm * Math.max(width, height) * 2;
  const first = (middle: number): number => Math.max(0, Math.floor((middle - radius) / 2000));
  const end = (middle: number, size: number): number => Math.min(size, Math.floor((middle + radius) / 2000) + 1);
  const found: Rgb[] = [];
  for (let row = first(middleY); row < end(middleY, height); row += 1) {
    const down = row * 2000 + 1000 - middleY;
    for (let column = first(middleX); column < end(middleX, width); column += 1) {
      const across = column * 2000 + 1000 - middleX;
      if (across * across + down * down > radius * radius) continue;
      const at = 4 * (row * width + column);
      found.push([data[at] ?? 0, data[at + 1] ?? 0, data[at + 2] ?? 0]);
    }
  }
  return found;
}

/** Clipped and dark pixels are counted and left out; the rest is averaged without its darkest and brightest. */
export function patchOf(pixels: readonly Rgb[]): Patch {
  const brightest = pixels.map((p) => Math.max(p[0], p[1], p[2]));
  const clippedAt = limit("clipped_at");
  const darkAt = limit("dark_at");
  const clipped = brightest.filter((level) => level >= clippedAt).length;
  const dark = brightest.filter((level) => level <= darkAt).length;
  const usable = pixels
    .filter((_, n) => (brightest[n] ?? 0) > darkAt && (brightest[n] ?? 0) < clippedAt)
    .map((p) => ({ p, key: brightness(p) }))
    .sort((one, two) => one.key - two.key || one.p[0] - two.p[0] || one.p[1] - two.p[1] || one.p[2] - two.p[2]);
  const cut = Math.floor((usable.length * limit("trim")) / 1000);
  const kept = usable.slice(cut, usable.length - cut);
  const counted = {
    pixels: pixels.length,
    clipped_pm: share(clipped, pixels.length),
    dark_pm: share(dark, pixels.length),
  };
  if (kept.length === 0) return { ...counted, uneven_pm: 0, mean: [0, 0, 0] };
  const half = Math.floor(kept.length / 2);
  const low = sum(kept.slice(0, half).map((k) => k.key));
  const high = sum(kept.slice(kept.length - half).map((k) => k.key));
  const mean = ([0, 1, 2] as const).map((c) => sum(kept.map((k) => linear(k.p[c]))) / kept.length);
  return {
    ...counted,
    uneven_pm: high === 0 ? 0 : 1000 - share(low, high),
    mean: [mean[0] ?? 0, mean[1] ?? 0, mean[2] ?? 0],
  };
}

/** Linear sRGB, 1 being white, as CIELAB D65: matrix of IEC 61966-2-1, formulas of CIE 15; (1, 1, 1) is the white. */
export function labOf([r, g, b]: Rgb): Lab {
  const x = root((0.4124 * r + 0.3576 * g + 0.1805 * b) / (0.4124 + 0.3576 + 0.1805));
  const y = root((0.2126 * r + 0.7152 * g + 0.0722 * b) / (0.2126 + 0.7152 + 0.0722));
  const z = root((0.0193 * r + 0.1192 * g + 0.9505 * b) / (0.0193 + 0.1192 + 0.9505));
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/** CIEDE2000 colour difference, all parametric factors 1 (CIE 142-2001; as in Sharma, Wu and Dalal 2005). */
export function ciede2000([l1, plainA1, b1]: Lab, [l2, plainA2, b2]: Lab): number {
  const meanChroma = (Math.sqrt(plainA1 * plainA1 + b1 * b1) + Math.sqrt(plainA2 * plainA2 + b2 * b2)) / 2;
  const g = 0.5 * (1 - chromaShare(meanChroma));
  const a1 = (1 + g) * plainA1;
  const a2 = (1 + g) * plainA2;
  const c1 = Math.sqrt(a1 * a1 + b1 * b1);
  const c2 = Math.sqrt(a2 * a2 + b2 * b2);
  const h1 = hueOf(a1, b1);
  const h2 = hueOf(a2, b2);
  const grey = c1 * c2 === 0;
  const hue = grey ? h1 + h2 : meanHue(h1, h2);
  const turn = grey ? 0 : shortWay(h2 - h1);
  const lightness = (l1 + l2) / 2;
  const chroma = (c1 + c2) / 2;
  const t =
    1 - 0.17 * cosine(hue - 30) + 0.24 * cosine(2 * hue) + 0.32 * cosine(3 * hue + 6) - 0.2 * cosine(4 * hue - 63);
  const off = (lightness - 50) * (lightness - 50);
  const sl = 1 + (0.015 * off) / Math.sqrt(20 + off);
  const sc = 1 + 0.045 * chroma;
  const sh = 1 + 0.015 * chroma * t;
  const bend = (hue - 275) / 25;
  const rotation = -2 * chromaShare(chroma) * Math.sin((60 * Math.exp(-bend * bend) * Math.PI) / 180);
  const dl = (l2 - l1) / sl;
  const dc = (c2 - c1) / sc;
  const dh = (2 * Math.sqrt(c1 * c2) * Math.sin(((turn / 2) * Math.PI) / 180)) / sh;
  // Rounding may leave it a hair below zero.
  return Math.sqrt(Math.max(0, dl * dl + dc * dc + dh * dh + rotation * dc * dh));
}

export const limit = (name: Limit): number => colourTable.limits[name].value;

/** An 8-bit level in linear light, in ten-millionths of white (IEC 61966-2-1). */
export const linear = (level: number): number => LINEAR[level] ?? 0;

/** How sure, in a plain word. */
export const sureWord = (sure_pm: number): string =>
  colourTable.sure_words.find((row) => sure_pm >= row.from_pm)?.word ?? "";

const LINEAR: readonly number[] = Array.from({ length: 256 }, (_, level) => {
  const part = level / 255;
  return Math.floor((part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4) * 10_000_000 + 0.5);
});

/** Luminance in whole millionths of white, small enough that sums over a whole photo stay exact. */
const brightness = (p: Rgb): number =>
  Math.floor((2126 * linear(p[0]) + 7152 * linear(p[1]) + 722 * linear(p[2])) / 100_000);

/** In thousandths, rounded down; of nothing, 0. */
const share = (part: number, whole: number): number => (whole === 0 ? 0 : Math.floor((part * 1000) / whole));

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

const cannotTell = (reason: ColourReason, de00_centi: number | null, hue_deg: number | null): Reading => ({
  verdict: "cannot_tell",
  sure_pm: 0,
  reason,
  de00_centi,
  hue_deg,
});

type Gate = "small" | "glare" | "dark" | "uneven";
const GATES: readonly (readonly [Gate, (patch: Patch) => boolean])[] = [
  ["small", (patch) => patch.pixels < limit("pixels_min")],
  ["glare", (patch) => patch.clipped_pm > limit("clipped_max")],
  ["dark", (patch) => patch.dark_pm > limit("dark_max")],
  ["uneven", (patch) => patch.uneven_pm > limit("uneven_max")],
];

/** The first reason why nothing can be said, in the order of the table. */
function unusable(seen: Patch, white: Patch): ColourReason | null {
  for (const [gate, fails] of GATES) {
    if (fails(seen)) return gate;
    if (fails(white)) return `reference_${gate}`;
  }
  return isWhite(white.mean) ? null : "reference_coloured";
}

/** Whether white under any usual lamp can look like this, at any brightness. */
function isWhite([r, g, b]: Rgb): boolean {
  const luminance = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  const [, redGreen, yellowBlue] = labOf([r / luminance, g / luminance, b / luminance]);
  return (
    Math.abs(redGreen) <= limit("reference_red_green_max") && Math.abs(yellowBlue) <= limit("reference_yellow_blue_max")
  );
}

/** From the least sure on a limit to the most a span away from it; the nearest limit counts. */
function sure(distances: readonly (readonly [distance: number, span: number])[]): number {
  const least = limit("sure_least");
  const most = limit("sure_most");
  return Math.min(
    ...distances.map(([distance, span]) => least + Math.floor(((most - least) * Math.min(distance, span)) / span)),
  );
}

/** Degrees to the nearer end of the range of red hues; below zero outside of it. */
function insideRed(hue_deg: number): number {
  const start = limit("hue_from");
  const width = (limit("hue_to") - start + 360) % 360;
  const past = (hue_deg - start + 360) % 360;
  return Math.min(past, width - past);
}

const root = (t: number): number => (t > 216 / 24389 ? t ** (1 / 3) : ((24389 / 27) * t + 16) / 116);

/** Degrees from 0 up to 360; of a neutral colour 0. */
function hueOf(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const degrees = (Math.atan2(b, a) * 180) / Math.PI;
  return degrees < 0 ? degrees + 360 : degrees;
}

const shortWay = (turn: number): number => (turn > 180 ? turn - 360 : turn < -180 ? turn + 360 : turn);

function meanHue(h1: number, h2: number): number {
  if (Math.abs(h1 - h2) <= 180) return (h1 + h2) / 2;
  return h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2;
}

const cosine = (degrees: number): number => Math.cos((degrees * Math.PI) / 180);

/** The root of c^7 / (c^7 + 25^7). */
function chromaShare(c: number): number {
  const seventh = c * c * c * c * c * c * c;
  return Math.sqrt(seventh / (seventh + 6103515625));
}
