/** How large a millimetre is on this station's screen, found once by laying a bank card on it. */
import { signal } from "@preact/signals";
import { hearRatio, pixelRatio } from "../device/ruler.ts";
import { getMeta, putMeta } from "../log/db.ts";

/** A bank card: ISO/IEC 7810, size ID-1, 85.60 mm by 53.98 mm. */
export const CARD_LONG_MM = 85.6;
export const CARD_SHORT_MM = 53.98;

/** Screens have from about 2 (a wall monitor) to 20 CSS pixels a millimetre (a guess with room to spare); else somebody slipped. */
export const LEAST_PX_PER_MM = 2;
export const MOST_PX_PER_MM = 20;
/** 96 pixels an inch: what CSS calls a pixel (CSS Values and Units 3); where the fitting begins. */
export const CSS_PX_PER_MM = 96 / 25.4;

export type Calibration = { readonly px_per_mm: number; readonly ratio: number };
const KEY = "calibration";

/** What was found here; null before. */
export const calibration = signal<Calibration | null>(null);
const ratio = signal(1);
let follows = false;

export async function loadCalibration(): Promise<void> {
  ratio.value = pixelRatio();
  if (!follows) {
    follows = true;
    hearRatio(() => {
      ratio.value = pixelRatio();
    });
  }
  calibration.value = (await getMeta<Calibration>(KEY)) ?? null;
}

export async function keepCalibration(pxPerMm: number): Promise<void> {
  const kept: Calibration = { px_per_mm: pxPerMm, ratio: pixelRatio() };
  ratio.value = kept.ratio;
  calibration.value = kept;
  await putMeta(KEY, kept);
}

/** CSS pixels a millimetre; null before calibration, and when zoom or monitor are no longer those it was made with. */
export const truePxPerMm = (): number | null =>
  calibration.value !== null && Math.abs(calibration.value.ratio - ratio.value) < 0.001
    ? calibration.value.px_per_mm
    : null;

/** Whether it was calibrated once, at another zoom. */
export const isZoomed = (): boolean => calibration.value !== null && truePxPerMm() === null;
