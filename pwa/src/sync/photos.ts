/** Sending photos, after the events that name them: large ones in pieces, so that a cut costs one piece (F8.6). */
import { group } from "../codes/codes.ts";
import { type KeptPhoto, withDb } from "../log/db.ts";
import { keepSent } from "../log/sentPhotos.ts";
import { type Answer, ask, type Halt, isBlocking, type Refusal } from "./client.ts";
import { dropErased } from "./erased.ts";
import { clockSkewMs } from "./status.ts";

/** Photos up to this size go in one request (F8.6). */
const PIECE_BYTES = 262_144;
/** How often the server may correct the offset of a photo before the other photos have their turn. */
const MOST_TURNS = 3;
const SMALL_WITHIN_MS = 10_000;

/** How far a photo has got. An answer from anything but our server lacks this. */
type Held = { readonly sha256?: string; readonly whole?: boolean; readonly offset?: number } | null;

/**
 * Send all photos kept here. The local copy goes only once the server has confirmed it and a good backup has it (F8.5).
 * One that the server refuses stays here and does not hold up the others.
 */
export async function pushPhotos(nowMs: () => number): Promise<Halt | null> {
  let told: Halt | null = null;
  for (const sha256 of await withDb((db) => db.photos.keys())) {
    const photo = await withDb((db) => db.photos.get(sha256));
    if (photo === undefined) continue;
    const halt = await send(photo);
    if (halt !== null && isBlocking(halt)) return halt;
    if (halt !== null && halt !== "offline" && halt.slug === "photo-erased") {
      await dropErased([sha256]);
      continue;
    }
    if (halt !== null) {
      told ??= { ...(halt as Refusal), detail: `${ofWhat(photo)} stays on this station.` };
      continue;
    }
    await keepSent(photo, nowMs() - (clockSkewMs.value ?? 0));
    await keepSmall(sha256);
  }
  return told;
}

const ofWhat = ({ job }: KeptPhoto): string => (job.startsWith("J") ? `A photo of job ${group(job)}` : "A photo");

/** Null once the server has the whole photo. */
function send(photo: KeptPhoto): Promise<Halt | null> {
  return photo.bytes.byteLength <= PIECE_BYTES ? sendAtOnce(photo) : sendInPieces(photo);
}

async function sendAtOnce(photo: KeptPhoto): Promise<Halt | null> {
  const bytes = new Blob([photo.bytes], { type: photo.type });
  const answer = await ask<Held>("PUT", `/api/blobs/${photo.sha256}`, bytes, { "Content-Type": photo.type });
  if (!answer.ok) return answer.problem;
  return answer.value?.sha256 === photo.sha256 ? null : "offline";
}

async function sendInPieces(photo: KeptPhoto): Promise<Halt | null> {
  const size = photo.bytes.byteLength;
  let answer = await ask<Held>("GET", `/api/blobs/${photo.sha256}/part`);
  let before = -1;
  for (let turns = 0; turns <= MOST_TURNS; ) {
    const elsewhere = goesOnAt(answer);
    if (!answer.ok && elsewhere === null) return answer.problem;
    if (answer.ok && answer.value?.sha256 !== photo.sha256) return "offline";
    if (answer.ok && answer.value?.whole === true) return null;
    const offset = elsewhere ?? (answer.ok ? answer.value?.offset : undefined);
    if (offset === undefined || offset < 0 || offset > size) return "offline";
    if (elsewhere !== null || offset <= before) turns += 1;
    before = offset;
    answer = await sendPiece(photo, offset);
  }
  return answer.ok ? "offline" : answer.problem;
}

function sendPiece(photo: KeptPhoto, offset: number): Promise<Answer<Held>> {
  const { sha256, bytes } = photo;
  const piece = new Blob([bytes.slice(offset, offset + PIECE_BYTES)]);
  return ask<Held>("POST", `/api/blobs/${sha256}/part?offset=${offset}&whole=${bytes.byteLength}`, piece, {
    "Content-Type": "application/octet-stream",
  });
}

/** How much of the photo the server has, when it says that the piece sent does not follow. */
function goesOnAt(answer: Answer<Held>): number | null {
  if (answer.ok || answer.problem === "offline" || answer.problem.slug !== "part-offset") return null;
  const { offset } = answer.problem.extra ?? {};
  return typeof offset === "number" ? offset : null;
}

/**
 * Fetch the small picture through the service worker, which keeps it, so that the photo can be seen here without a
 * network. False when that failed; it is only a convenience, the photo itself is on the server.
 */
export async function keepSmall(sha256: string): Promise<boolean> {
  try {
    const signal = AbortSignal.timeout(SMALL_WITHIN_MS);
    const answer = await fetch(`/api/blobs/${sha256}?size=thumb`, { credentials: "same-origin", signal });
    await answer.blob();
    return answer.ok;
  } catch {
    return false;
  }
}
