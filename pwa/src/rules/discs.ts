/** The two discs of a colour reading: where they start, and how they are moved and sized within a photo. */
import type { Disc } from "./colour.ts";

export type DiscName = "indicator" | "reference";
export type Discs = Readonly<Record<DiscName, Disc>>;
type Size = { readonly width: number; readonly height: number };

export const RADIUS_LEAST_PM = 5;
export const RADIUS_MOST_PM = 60;

export const FIRST_DISCS: Discs = {
  indicator: { x_pm: 350, y_pm: 500, r_pm: 20 },
  reference: { x_pm: 650, y_pm: 500, r_pm: 20 },
};

/** Moves the centre to a point of the photo, given in its pixels; never outside. */
export const discAt = (disc: Disc, { width, height }: Size, x: number, y: number): Disc => ({
  ...disc,
  x_pm: within(Math.round((1000 * x) / width), 0, 1000),
  y_pm: within(Math.round((1000 * y) / height), 0, 1000),
});

/** A step to a side, in thousandths of the longer side; at least the smallest there is. */
export function nudged(disc: Disc, size: Size, across: -1 | 0 | 1, down: -1 | 0 | 1, step_pm: number): Disc {
  const long = Math.max(size.width, size.height);
  const stepOf = (side: number): number => Math.max(1, Math.round((step_pm * long) / side));
  return {
    ...disc,
    x_pm: within(disc.x_pm + across * stepOf(size.width), 0, 1000),
    y_pm: within(disc.y_pm + down * stepOf(size.height), 0, 1000),
  };
}

/** A fifth larger or smaller, at least by the smallest there is. */
export function resized(disc: Disc, larger: boolean): Disc {
  const by = Math.max(1, Math.round(disc.r_pm / 5));
  return { ...disc, r_pm: within(disc.r_pm + (larger ? by : -by), RADIUS_LEAST_PM, RADIUS_MOST_PM) };
}

const within = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));
