/** Why a point could not be tested, or what was agreed on it. */
import type { FinalReading, TextId } from "../fold/state.ts";
import { becauseWords } from "../rules/because.ts";
import { heldText, said } from "./texts.ts";

/** What the value on a reading says, and what was written beside it. Null when there is neither. */
export const reasonOf = (point: string, reading: FinalReading | undefined): string | null =>
  joined(point, reading, said);

/** The same to be written again on another reading: without a text that is not here. */
export const reasonAgain = (point: string, reading: FinalReading | undefined): string | null =>
  joined(point, reading, heldText);

function joined(
  point: string,
  reading: FinalReading | undefined,
  text: (id: TextId | null) => string | null,
): string | null {
  if (reading === undefined) return null;
  const parts = [becauseWords(point, reading.because), text(reading.why)].filter((part) => part !== null);
  return parts.length === 0 ? null : parts.join(". ");
}
