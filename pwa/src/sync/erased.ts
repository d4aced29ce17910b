/** Photos that were erased for good: what this station still has of them goes as well. */
import { dropPhotos } from "../log/sentPhotos.ts";

const WITHIN_MS = 10_000;

/** Drop the copies in the stores, and what the browser keeps of the pictures it has shown. False when the network was lost. */
export async function dropErased(photos: readonly string[]): Promise<boolean> {
  if (photos.length === 0) return true;
  await dropPhotos(photos);
  for (const sha256 of photos)
    for (const size of ["?size=thumb", ""]) if (!(await fetchAnew(`/api/blobs/${sha256}${size}`))) return false;
  return true;
}

/** An answer that is not the picture takes its place in the browser's own cache. */
async function fetchAnew(path: string): Promise<boolean> {
  try {
    const signal = AbortSignal.timeout(WITHIN_MS);
    await fetch(path, { credentials: "same-origin", cache: "reload", signal });
    return true;
  } catch {
    return false;
  }
}
