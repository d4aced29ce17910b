/** Words in the text of a step that point to a danger. */
import type { Written } from "./procedure.ts";

/** Those of the words found in a written step: title, sentences, tools, its way back, where its screws sit. */
export function dangerWords(row: Written, words: readonly string[], places: readonly string[]): readonly string[] {
  const texts = [row.title, ...row.say, ...row.tools, row.back?.title ?? "", ...(row.back?.say ?? []), ...places];
  const plain = texts.map(spaced);
  return words.filter((word) => plain.some((text) => text.includes(` ${word} `)));
}

const spaced = (text: string): string =>
  ` ${text
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, " ")
    .trim()} `;
