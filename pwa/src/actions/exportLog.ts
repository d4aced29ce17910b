/** The not yet sent entries of this station as a file, for the day the server or the phone cannot be trusted. */
import { nowMs } from "../device/clock.ts";
import { saveFile } from "../device/paper.ts";
import { genesis } from "../events/chain.ts";
import { getMeta, type StationRow, withDb } from "../log/db.ts";
import { ownAfter } from "../log/own.ts";
import { ok, type Result, refuse } from "../problem.ts";

export type Unsent = { readonly name: string; readonly text: string };

const ABOUT =
  "Entries of one station that the server has not confirmed. This first line describes the file. Then come `events` lines, " +
  "each the bytes of one event as written; with {incarnation, first_seq, prev, head} of this line before them they are the body " +
  "of POST /api/sync/push, at most 500 lines at a time. Then come `cards` lines, each a card or document with personal data. " +
  "Photos are named here by their SHA-256 and stay on the station.";

/** Everything not yet sent, as lines of JSON. `station-unknown` before joining. */
export async function unsentFile(): Promise<Result<Unsent>> {
  const row = await getMeta<StationRow>("station");
  if (row === undefined) return refuse("station-unknown");
  const events = await ownAfter(row.incarnation, row.acked);
  const cards = await withDb((db) => db.docsOut.all());
  const photos = await withDb((db) => db.photos.all());
  const at_ms = nowMs();
  const header = {
    traymark: "unsent",
    format: 1,
    about: ABOUT,
    shop: row.shop,
    station: row.station,
    name: row.name,
    written_at_ms: at_ms,
    incarnation: row.incarnation,
    first_seq: row.acked + 1,
    prev: await hashAt(row),
    head: events[events.length - 1]?.hash ?? (await hashAt(row)),
    events: events.length,
    cards: cards.length,
    photos: photos.map((p) => ({ sha256: p.sha256, job: p.job, bytes: p.bytes.byteLength, at_ms: p.at_ms })),
  };
  const lines = [JSON.stringify(header), ...events.map((e) => e.text), ...cards.map((c) => JSON.stringify(c))];
  return ok({ name: `traymark-${row.station}-${row.incarnation}-${at_ms}.ndjson`, text: `${lines.join("\n")}\n` });
}

/** Hand that file to the person. */
export async function saveUnsent(): Promise<Result<Unsent>> {
  const file = await unsentFile();
  if (file.ok) saveFile(new Blob([file.value.text], { type: "application/x-ndjson" }), file.value.name);
  return file;
}

/** Hash after the last confirmed event. */
async function hashAt(row: StationRow): Promise<string> {
  if (row.acked === 0) return genesis(row.station, row.incarnation);
  const last = await withDb((db) => db.own.get([row.incarnation, row.acked]));
  return last?.hash ?? row.head;
}
