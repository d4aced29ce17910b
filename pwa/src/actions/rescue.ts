/** For the day the server or the phone cannot be trusted: what is not sent as a file, and a start without what was pulled. */
import { nowMs } from "../device/clock.ts";
import { saveFile } from "../device/paper.ts";
import { genesis } from "../events/chain.ts";
import { reading, type StationRow, type Stores } from "../log/db.ts";
import { afterSeq } from "../log/own.ts";
import { dropPulled } from "../log/pulled.ts";
import { ok, type Result, refuse } from "../problem.ts";

export type Unsent = { readonly name: string; readonly text: string };

const ABOUT =
  "Entries of one station that the server has not confirmed. This first line describes the file. Then come `events` lines, " +
  "each the bytes of one event as written; with {incarnation, first_seq, prev, head} of this line before them they are the body " +
  "of POST /api/sync/push, at most 500 lines at a time. Then come `cards` lines, each a card or document with personal data. " +
  "Photos are named here by their SHA-256 and stay on the station. Null in place of cards or photos: they could not be read.";

/** Everything not yet sent, as lines of JSON. The entries come even when the rest cannot be read. `station-unknown` before joining. */
export async function unsentFile(): Promise<Result<Unsent>> {
  const own = await reading(["meta", "own"], async (db) => {
    const row = await db.meta.read<StationRow>("station");
    if (row === undefined) return null;
    const { incarnation, acked } = row;
    const before = await db.own.get([incarnation, acked]);
    return { row, events: await db.own.all(afterSeq(incarnation, acked)), before };
  });
  if (own === null) return refuse("station-unknown");
  const { row, events, before } = own;
  const cards = await orNull("docsOut", (db) => db.docsOut.all());
  const photos = await orNull("photos", (db) => db.photos.all());
  const prev = row.acked === 0 ? await genesis(row.station, row.incarnation) : (before?.hash ?? row.head);
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
    prev,
    head: events[events.length - 1]?.hash ?? prev,
    events: events.length,
    cards: cards?.length ?? null,
    photos: photos?.map((p) => ({ sha256: p.sha256, job: p.job, bytes: p.bytes.byteLength, at_ms: p.at_ms })) ?? null,
  };
  const lines = [JSON.stringify(header), ...events.map((e) => e.text), ...(cards ?? []).map((c) => JSON.stringify(c))];
  return ok({ name: `traymark-${row.station}-${row.incarnation}-${at_ms}.ndjson`, text: `${lines.join("\n")}\n` });
}

/** What a store holds; null when it cannot be read. */
const orNull = <N extends "docsOut" | "photos", T>(name: N, read: (db: Pick<Stores, N>) => Promise<T>) =>
  reading([name], read).catch(() => null);

/** Hand that file to the person. */
export async function saveUnsent(): Promise<Result<Unsent>> {
  const file = await unsentFile();
  if (file.ok) saveFile(new Blob([file.value.text], { type: "application/x-ndjson" }), file.value.name);
  return file;
}

/** Forget what was pulled, so that the next start fetches it again. What is not sent stays. */
export async function fetchAgain(): Promise<Result<null>> {
  await dropPulled();
  return ok(null);
}
