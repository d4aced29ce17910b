/** What server and station hold, in the notation of FORMAT F10, so that a test says it in one line. */
import { type Event, isEvent, parse } from "@pwa/events/envelope.ts";
import type { Thing } from "@pwa/fold/records.gen.ts";
import { getMeta, type StationRow, withDb } from "@pwa/log/db.ts";
import { ownBeyond } from "@pwa/log/own.ts";

type Line = { readonly incarnation: string; readonly seq: number; readonly raw: string };

/** A log with what the server keeps apart of it (F10.1, F10.2). */
export function logInNotation(log: readonly Line[], apart: readonly string[] = []): string {
  const forks = [...new Set(apart)].map((raw) => lineOf(raw));
  return forks.length === 0 ? runs(log) : `${runs(log)}; ${runs(forks, "'")}`;
}

/** This station's own events that still count: confirmed, a bar, not yet confirmed (F10.3). */
export async function deskHolds(): Promise<string> {
  const row = (await getMeta<StationRow>("station")) as StationRow;
  const own = (await withDb((db) => ownBeyond(db, () => 0))).map((o) => ({ ...o, raw: o.text }));
  const isSent = (o: Line): boolean => o.incarnation !== row.incarnation || o.seq <= row.acked;
  return `${runs(own.filter(isSent))} | ${runs(own.filter((o) => !isSent(o)))}`.trim();
}

/** The heads of a thing and where they say it is (F10.4). */
export const headsInNotation = (thing: Thing | undefined): string =>
  `{${Object.entries(thing?.heads ?? {})
    .map(([id, head]) => `${id} ${head.to}`)
    .join(", ")}}`;

function runs(lines: readonly Line[], prime = ""): string {
  const words: string[] = [];
  let run: { incarnation: string; first: number; last: number } | null = null;
  for (const line of lines) {
    const { incarnation, seq } = line;
    const more = suffix(line);
    if (more === "" && run !== null && run.incarnation === incarnation && run.last + 1 === seq) {
      run.last = seq;
      words[words.length - 1] = `${incarnation}.${run.first}${prime}..${seq}${prime}`;
      continue;
    }
    run = more === "" ? { incarnation, first: seq, last: seq } : null;
    words.push(`${incarnation}.${seq}${prime}${more}`);
  }
  return words.join(" ");
}

function suffix({ incarnation, seq, raw }: Line): string {
  const event = parse(raw);
  if (!isEvent(event)) return `!${event.slug}`;
  if (event.incarnation !== incarnation || event.seq !== seq) return "!envelope-field";
  if (!event.known) return "?";
  const before = event.kind === "station.began" ? event.body.old_incarnation : undefined;
  return before === undefined ? "" : `<${String(before)}`;
}

function lineOf(raw: string): Line {
  const { incarnation, seq } = parse(raw) as Event;
  return { incarnation, seq, raw };
}
