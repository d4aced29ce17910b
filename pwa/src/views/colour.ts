/** What a colour reading says in words, and which readings of a photo a job has. */
import type { IndicatorReading, Job } from "../fold/state.ts";
import { colourReasons, colourVerdicts, type Reading, sureWord } from "../rules/colour.ts";
import type { Discs } from "../rules/discs.ts";

/** "Difference 14.35, hue 16°, quite sure (95 of 100)"; of what could not be told, why and what to do. */
export function readingWords(reading: Reading): string {
  const { reason, de00_centi, hue_deg, sure_pm } = reading;
  const numbers = [
    ...(de00_centi === null ? [] : [`difference ${(de00_centi / 100).toFixed(2)}`]),
    ...(hue_deg === null ? [] : [`hue ${hue_deg}°`]),
    ...(reason === null ? [`${sureWord(sure_pm)} (${Math.floor(sure_pm / 10)} of 100)`] : []),
  ].join(", ");
  const why = reason === null ? "" : `${colourReasons[reason].name}. `;
  return numbers === "" ? why.trim() : `${why}${numbers.charAt(0).toUpperCase()}${numbers.slice(1)}.`;
}

/** One sentence more: what the verdict means, or what to do about a reason. */
export const readingNext = ({ verdict, reason }: Reading): string =>
  reason === null ? colourVerdicts[verdict].say : colourReasons[reason].next;

export const verdictName = ({ verdict }: Reading): string => colourVerdicts[verdict].name;

/** The last reading of a photo; its discs are where a person left them. */
export const lastReading = (job: Job, photo: string): IndicatorReading | undefined =>
  job.readings.filter((r) => r.photo === photo).at(-1);

export const discsOf = (reading: IndicatorReading): Discs => ({
  indicator: { x_pm: reading.x_pm, y_pm: reading.y_pm, r_pm: reading.r_pm },
  reference: { x_pm: reading.reference_x_pm, y_pm: reading.reference_y_pm, r_pm: reading.reference_r_pm },
});

/** Whether just these discs were read and kept. */
export const isKept = (kept: IndicatorReading | undefined, discs: Discs): boolean =>
  kept !== undefined && JSON.stringify(discsOf(kept)) === JSON.stringify(ordered(discs));

const ordered = ({ indicator, reference }: Discs): Discs => ({
  indicator: { x_pm: indicator.x_pm, y_pm: indicator.y_pm, r_pm: indicator.r_pm },
  reference: { x_pm: reference.x_pm, y_pm: reference.y_pm, r_pm: reference.r_pm },
});
