/** Values of enumerations in words (shared/words.json), and the choices that a person has among them. */
import wordsTable from "@shared/words.json";
import { stopReasons } from "../tables.ts";
import { upper } from "./format.ts";

type Values = typeof wordsTable.values;
type ValueOf<Enum extends keyof Values> = keyof Values[Enum] & string;
type Words = Readonly<Record<string, Readonly<Record<string, string>>>>;

type Option<Value> = { readonly value: Value; readonly name: string };

/** The word of a value, as it reads inside a sentence. */
export function valueWord(name: string, value: string): string {
  if (name === "stop_reason") return stopReasons[value]?.name ?? plain(value);
  return (wordsTable.values as Words)[name]?.[value] ?? plain(value);
}

/** What a person who chooses a value must know beyond its word; empty where the word says it all. */
export const detailOf = (name: keyof Values, value: string): string =>
  (wordsTable.details as Words)[name]?.[value] ?? "";

/** A value as it stands alone: its word, and what one must know beyond it. */
export function valueName(name: keyof Values, value: string): string {
  const detail = detailOf(name, value);
  const word = upper(valueWord(name, value));
  return detail === "" ? word : `${word}: ${detail}`;
}

/** The values of an enumeration to choose from: all in their order, or those that are named. */
export const choicesOf = <Enum extends keyof Values, Value extends ValueOf<Enum>>(
  name: Enum,
  values = Object.keys(wordsTable.values[name]) as unknown as readonly Value[],
): readonly Option<Value>[] => values.map((value) => ({ value, name: valueName(name, value) }));

/** A slug, spelt out. */
export const plain = (slug: string): string => slug.replace(/[._-]/g, " ");
