/** Photos that the server has and that stay here all the same, until a good backup has them. */
import { countSent, MOST_BYTES } from "../log/sentPhotos.ts";

const MB = 1_000_000;

/** How many, and how much of their room they take; null when there are none. */
export async function sentPhotosLine(): Promise<string | null> {
  const { count, bytes } = await countSent();
  if (count === 0) return null;
  return `${count === 1 ? "1 photo" : `${count} photos`}, ${Math.ceil(bytes / MB)} of at most ${MOST_BYTES / MB} MB`;
}
