/** Photos: redrawn on this station, so that no location or camera data stays in them; long side at most 2048 px. */
import { sha256 } from "../events/chain.ts";
import { type KeptPhoto, withDb } from "../log/db.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { nowMs } from "./clock.ts";
import { reencode } from "./encode.ts";

const LONG_SIDE_PX = 2048;
const QUALITY = 0.86;
/** In place of the job code, for a photo that belongs to no job. */
export const NO_JOB = "procedure";

export type TakenPhoto = {
  readonly sha256: string;
  readonly bytes: number;
  readonly width: number;
  readonly height: number;
};

/** Re-encode a picture and keep it until the server has it. Durable on return. `blob-not-image`, `storage-failed`. */
export async function keepPhoto(job: string, picture: Blob): Promise<Result<TakenPhoto>> {
  const made = await reencode(picture, LONG_SIDE_PX, QUALITY);
  if (made === null) return refuse("blob-not-image");
  const { bytes, width, height } = made;
  const hash = await sha256(bytes);
  const kept: KeptPhoto = { sha256: hash, bytes, type: "image/jpeg", job, at_ms: nowMs() };
  try {
    await withDb((db) => db.photos.put(kept), "once");
  } catch (error) {
    return refuse("storage-failed", String(error));
  }
  return ok({ sha256: hash, bytes: bytes.byteLength, width, height });
}

/**
 * Keep a photo that came in a file, as it is: its name is the hash of these bytes. `blob-not-image`, `storage-failed`.
 */
export async function keepAsIs(hash: string, bytes: ArrayBuffer, type: string): Promise<Result<null>> {
  const bitmap = await createImageBitmap(new Blob([bytes], { type })).catch(() => null);
  if (bitmap === null) return refuse("blob-not-image");
  bitmap.close();
  try {
    await withDb((db) => db.photos.put({ sha256: hash, bytes, type, job: NO_JOB, at_ms: nowMs() }), "once");
  } catch (error) {
    return refuse("storage-failed", String(error));
  }
  return ok(null);
}

/** A photo of which this station has the bytes. */
export const keptHere = (hash: string): Promise<KeptPhoto | undefined> =>
  withDb(async (db) => (await db.photos.get(hash)) ?? (await db.photosSent.get(hash)));

/** The bytes of a photo: kept here, else from the server; null when neither can give it now. */
export async function photoBytes(hash: string): Promise<Pick<KeptPhoto, "bytes" | "type"> | null> {
  const kept = await keptHere(hash);
  if (kept !== undefined) return kept;
  try {
    const answer = await fetch(`/api/blobs/${hash}`, { credentials: "same-origin" });
    if (!answer.ok) return null;
    return { bytes: await answer.arrayBuffer(), type: answer.headers.get("Content-Type") ?? "image/jpeg" };
  } catch {
    return null;
  }
}

/** The address to show a photo from: the copy kept here, else the server's, which the service worker may answer (sw/pictures.ts). */
export type Source = { readonly url: string; readonly release: () => void };

export async function photoSource(hash: string, size: "full" | "thumb"): Promise<Source> {
  const kept = await keptHere(hash).catch(() => undefined);
  if (kept === undefined) {
    return { url: `/api/blobs/${hash}${size === "thumb" ? "?size=thumb" : ""}`, release: () => undefined };
  }
  const url = URL.createObjectURL(new Blob([kept.bytes], { type: kept.type }));
  return { url, release: () => URL.revokeObjectURL(url) };
}
