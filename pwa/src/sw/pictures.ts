/**
 * Photos that this station has shown, so that they can be seen without a network. They are kept here and not in the
 * browser's own cache, since no page can empty that one: a station that forgets the shop forgets them too (log/pictures.ts).
 */

/** Bytes under a hash never change, so what is kept is never asked for again. The oldest go first. */
const SMALL = { name: "pictures-small", most: 3_000 };
const WHOLE = { name: "pictures-whole", most: 60 };
/** Looking through what is kept takes a while, so it is done at the first new picture of a worker's life and then this often. */
const TRIM_EVERY = 50;

const since = new Map<string, number>();

/** Whether an address is that of a photo (F8.5). */
export const isPicture = ({ pathname }: URL): boolean => /^\/api\/blobs\/[0-9a-f]{64}$/.test(pathname);

/** The picture that is kept, else the server's. Rejects, as a fetch does, when neither is to be had. */
export async function picture(request: Request): Promise<Response> {
  const { name, most } = new URL(request.url).searchParams.get("size") === "thumb" ? SMALL : WHOLE;
  const cache = await caches.open(name);
  const held = await cache.match(request.url);
  if (held !== undefined) return held;
  const answer = await fetch(request);
  // Kept before it is shown: what was seen once is here when the network goes. Without room it is shown all the same.
  if (answer.ok) await cache.put(request.url, answer.clone()).then(() => trim(name, cache, most), ignore);
  return answer;
}

const ignore = (): void => undefined;

async function trim(name: string, cache: Cache, most: number): Promise<void> {
  const count = since.get(name) ?? 0;
  since.set(name, (count + 1) % TRIM_EVERY);
  if (count > 0) return;
  const keys = await cache.keys();
  for (const key of keys.slice(0, Math.max(0, keys.length - most))) await cache.delete(key);
}
