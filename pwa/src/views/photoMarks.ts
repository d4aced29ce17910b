/** Marks on photos: which a photo has, where a new one lies, and how to say it. Places are thousandths of width and height. */

import { state } from "../current.ts";
import type { Bodies } from "../events/kinds.gen.ts";
import type { Job, Photo, PhotoMark } from "../fold/state.ts";

export type NumberedMark = PhotoMark & { readonly id: string; readonly number: number };

/** The marks of a photo in the order in which they were drawn. */
export function marksOf(job: Pick<Job, "photo_marks">, photo: string): readonly NumberedMark[] {
  return Object.entries(job.photo_marks)
    .filter(([key]) => key.startsWith(`${photo}/`))
    .sort(([, a], [, b]) => a.at_ms - b.at_ms || (a.event < b.event ? -1 : 1))
    .map(([key, mark], index) => ({ ...mark, id: key.slice(photo.length + 1), number: index + 1 }));
}

export type FoundPhoto = { readonly code: string; readonly job: Job; readonly photo: Photo | null };

/** The job that a photo belongs to; null while it is not booked. */
export function jobOfPhoto(hash: string): FoundPhoto | null {
  for (const [code, job] of state.value.job) {
    const photo = job.photos[hash];
    if (photo !== undefined) return { code, job, photo };
  }
  return null;
}

/** A mark that is being drawn. An arrow's point lies at the place; its shaft comes from one of eight sides. */
export type Drawing = {
  readonly shape: "circle" | "arrow";
  readonly x_pm: number;
  readonly y_pm: number;
  /** Radius, or half the arrow's length, in thousandths of the longer side. */
  readonly size_pm: number;
  /** Where the shaft comes from, in eighths of a turn clockwise from the right. */
  readonly from: number;
};

const FIRST_SIZE_PM = 90;
const SIZES_PM = { least: 20, most: 400, step: 25 };
const STEP_PM = 20;

/** A new mark at a place. An arrow's shaft comes from the middle of the photo, where there is room for it. */
export function drawAt(shape: Drawing["shape"], x_pm: number, y_pm: number): Drawing {
  const from = y_pm < 500 ? (x_pm < 500 ? 1 : 3) : x_pm < 500 ? 7 : 5;
  return { shape, x_pm: within(x_pm, 0, 1000), y_pm: within(y_pm, 0, 1000), size_pm: FIRST_SIZE_PM, from };
}

export type Nudge = "left" | "right" | "up" | "down" | "larger" | "smaller" | "turn";

/** The same mark moved, resized or turned by one step. */
export function nudged(d: Drawing, nudge: Nudge): Drawing {
  switch (nudge) {
    case "left":
    case "right":
      return { ...d, x_pm: within(d.x_pm + (nudge === "left" ? -STEP_PM : STEP_PM), 0, 1000) };
    case "up":
    case "down":
      return { ...d, y_pm: within(d.y_pm + (nudge === "up" ? -STEP_PM : STEP_PM), 0, 1000) };
    case "larger":
    case "smaller": {
      const { least, most, step } = SIZES_PM;
      return { ...d, size_pm: within(d.size_pm + (nudge === "larger" ? step : -step), least, most) };
    }
    case "turn":
      return { ...d, from: (d.from + 1) % 8 };
  }
}

/** The fields of the event, on a photo of this size. */
export function fieldsOf(
  d: Drawing,
  size: { readonly width: number; readonly height: number },
): Omit<Bodies["photo.marked"], "photo" | "mark" | "note"> {
  if (d.shape === "circle") return { shape: "circle", x_pm: d.x_pm, y_pm: d.y_pm, r_pm: d.size_pm };
  const longer = Math.max(size.width, size.height);
  const angle = (d.from * Math.PI) / 4;
  const tail = (place: number, share: number, side: number): number =>
    within(Math.round(place + (share * 2 * d.size_pm * longer) / side), 0, 1000);
  return {
    shape: "arrow",
    x_pm: tail(d.x_pm, Math.cos(angle), size.width),
    y_pm: tail(d.y_pm, Math.sin(angle), size.height),
    to_x_pm: d.x_pm,
    to_y_pm: d.y_pm,
  };
}

/** The place that a mark is about: a circle's middle, an arrow's point. */
export const placeOf = (m: Pick<PhotoMark, "x_pm" | "y_pm" | "to_x_pm" | "to_y_pm">): readonly [number, number] => [
  m.to_x_pm ?? m.x_pm,
  m.to_y_pm ?? m.y_pm,
];

const within = (value: number, least: number, most: number): number => Math.max(least, Math.min(most, value));
