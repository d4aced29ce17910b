/** Values of enumerations as a person reads them (shared/record.json, entries). */
import recordTable from "@shared/record.json";
import { stopReasons } from "../tables.ts";

const WORDS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  ...recordTable.entries,
  channel: recordTable.channels,
};

/** A value of a named enumeration of events.json, in words. */
export function entryWord(name: string, value: string): string {
  if (name === "stop_reason") return stopReasons[value]?.name ?? plain(value);
  return WORDS[name]?.[value] ?? plain(value);
}

/** A slug, spelt out. */
export const plain = (slug: string): string => slug.replace(/[._-]/g, " ");
