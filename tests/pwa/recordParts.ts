/** Parts of a repair record's sheet, by their headings. */
import type { Part } from "@pwa/views/record.ts";

/** The lines under a heading; none when there is no such heading. */
export const linesOf = (parts: readonly Part[], title: string): readonly string[] =>
  parts.find((part) => part.title === title)?.lines ?? [];
