/** What a customer was told and how, in words. */
import recordTable from "@shared/record.json";
import { stopReasons } from "../tables.ts";
import { lower } from "./format.ts";

const TOLD: Readonly<Record<string, string>> = recordTable.told;

/** What was told, in words. */
export function toldWords(what: string): string {
  const kind = what.replace(/-[0-9]+$/, "");
  if (kind.startsWith("stop-"))
    return recordTable.told.stop.replace("{reason}", lower(stopName(kind.slice("stop-".length))));
  return TOLD[kind] ?? kind.replace(/[._-]/g, " ");
}

export const stopName = (reason: string): string => stopReasons[reason]?.name ?? reason;
