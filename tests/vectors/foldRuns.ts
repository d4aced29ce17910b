/** Folding the entries of a vector, and comparing a state with what a person wrote about it. */
import { parse } from "@pwa/events/envelope.ts";
import type { Entry } from "@pwa/fold/fold.ts";
import type { State } from "@pwa/fold/state.ts";
import { blankRecords, COLLECTIONS, type Collection } from "@pwa/tables.ts";

type Json = { readonly [name: string]: unknown };
export type Row = { readonly incarnation: string; readonly seq: number; readonly text?: string };
export type Expected = { readonly [name: string]: Json | null };

/** A row of a vector's `events` as an entry of the log. */
export function entryOf(row: Row): Entry {
  return { incarnation: row.incarnation, seq: row.seq, event: parse(row.text ?? JSON.stringify(row)) };
}

/** The slugs of all findings in a state. */
export function findingsOf(state: State): readonly string[] {
  const found = [state.job, state.thing, state.box].flatMap((records) =>
    [...records.values()].flatMap((record) => record.findings.map((finding) => finding.slug)),
  );
  return [...new Set(found)];
}

/** A state as plain objects, to see whether it was changed. */
export function plain(state: State): string {
  return JSON.stringify(COLLECTIONS.map((collection) => [...state[collection]]));
}

/** Where a state is not as expected; shared/vectors/README.md has the rules of comparison. */
export function differences(state: State, expected: Expected): readonly string[] {
  return Object.entries(expected).flatMap(([name, record]) => {
    const [collection, key] = name.split("/") as [Collection, string];
    const have = state[collection].get(key) as Json | undefined;
    if (have === undefined || record === null) {
      return have === undefined && record === null ? [] : [`${name}: ${have === undefined ? "absent" : "present"}`];
    }
    return Object.entries(record).flatMap(([field, value]) => {
      const blank = blankRecords[collection][field];
      const isMap = isObject(blank) && Object.keys(blank).length === 0;
      return compare(`${name} ${field}`, have[field], value, isMap);
    });
  });
}

function compare(where: string, have: unknown, want: unknown, wholeKeys: boolean): readonly string[] {
  if (isObject(have) && isObject(want)) {
    const keys = (value: Json): string => Object.keys(value).sort().join(" ");
    if (wholeKeys && keys(have) !== keys(want)) return [`${where}: ${keys(have)} and not ${keys(want)}`];
    return Object.keys(want).flatMap((key) => compare(`${where} ${key}`, have[key], want[key], false));
  }
  if (Array.isArray(have) && Array.isArray(want)) {
    if (have.length !== want.length) return [`${where}: ${have.length} and not ${want.length}`];
    return want.flatMap((item, i) => compare(`${where} ${i}`, have[i], item, false));
  }
  return have === want ? [] : [`${where}: ${JSON.stringify(have)} and not ${JSON.stringify(want)}`];
}

const isObject = (value: unknown): value is Json =>
  typeof value === "object" && value !== null && !Array.isArray(value);
