/** Photos that were erased for good: what this station still has of them goes as well. */
import { dropPictures } from "../log/pictures.ts";
import { dropPhotos } from "../log/sentPhotos.ts";

const WITHIN_MS = 10_000;

/** Drop the copies in the stores, and the pictures that were shown. False when the network was lost. */
export async function dropErased(photos: readonly string[]): Promise<boolean> {
  if (photos.length === 0) return true;
  await dropPhotos(photos);
  await dropPictures(photos);
  for (const sha256 of photos)
    for (const size of ["?size=thumb", ""]) if (!(await fetchAnew(`/api/blobs/${sha256}${size}`))) return false;
  return true;
}

/**
 * Earlier versions of the server let the browser's own cache keep pictures; an answer that is not the picture takes its
 * place there.
 */
async function fetchAnew(path: string): Promise<boolean> {
  try {
    const signal = AbortSignal.timeout(WITHIN_MS);
    await fetch(path, { credentials: "same-origin", cache: "reload", signal });
    return true;
  } catch {
    return false;
  }
}
