/** Why a point could not be tested, or stands against closing: a value of the table, or what a person writes. */
import type { Because } from "../events/kinds.gen.ts";
import { becauseWord } from "../tables/testPoints.ts";
import { lockedWhy } from "./locked.ts";

/** What a value says of a point. */
export function becauseWords(point: string, because: Because | null): string | null {
  if (because === null) return null;
  return because === "locked" ? lockedWhy(point) : becauseWord[because];
}

/** What a reading is written with: a ready reason by its value, any other as the text it is. */
export function reasonFor(point: string, why: string): { readonly because?: Because; readonly why?: string } {
  if (why === "") return {};
  if (why === lockedWhy(point)) return { because: "locked" };
  const ready = VALUES.find((because) => becauseWord[because] === why);
  return ready === undefined ? { why } : { because: ready };
}

const VALUES = Object.keys(becauseWord) as readonly Because[];
