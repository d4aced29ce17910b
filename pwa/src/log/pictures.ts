/** Pictures that the service worker keeps (sw/pictures.ts), in the browser's Cache Storage. */

/** Where the service worker keeps the app's own files, as its library names it. Everything else there is of the shop. */
const APP_FILES = "workbox-precache";

/** Forget all of them. Harmless to repeat. */
export async function forgetPictures(): Promise<void> {
  for (const name of await names()) await caches.delete(name);
}

/** Forget those of some photos, in every size. */
export async function dropPictures(photos: readonly string[]): Promise<void> {
  for (const name of await names()) {
    const cache = await caches.open(name);
    for (const sha256 of photos) await cache.delete(`/api/blobs/${sha256}`, { ignoreSearch: true });
  }
}

/** None where the browser has no such storage: then nothing was kept. */
const names = async (): Promise<readonly string[]> =>
  typeof caches === "undefined" ? [] : (await caches.keys()).filter((name) => !name.startsWith(APP_FILES));
