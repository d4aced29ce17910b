/** Photos that the server has confirmed: kept here until a good backup has them, in case its disk is lost before. */
import { type KeptPhoto, type Stores, withDb, writing } from "./db.ts";

/** Together; the oldest go first. */
export const MOST_BYTES = 200_000_000;
/** Between the server's noting of a photo and its answer. */
const MARGIN_MS = 60_000;

/** The server has this photo, at this time by its own clock. Nothing is lost if this ends in between. */
export const keepSent = (photo: KeptPhoto, sent_ms: number): Promise<void> =>
  writing(["photos", "photosSent", "meta"], async (db) => {
    await db.photosSent.put({ ...photo, sent_ms });
    await db.photos.delete(photo.sha256);
    let bytes = ((await db.meta.read<number>("sent_bytes")) ?? 0) + photo.bytes.byteLength;
    while (bytes > MOST_BYTES) {
      const [oldest] = await db.photosSent.allBy("sent_ms", 1);
      if (oldest === undefined) break;
      await db.photosSent.delete(oldest.sha256);
      bytes -= oldest.bytes.byteLength;
    }
    await db.meta.write("sent_bytes", bytes);
  });

/** A good backup was made at this time: what was confirmed before is in it. */
export async function dropBackedUp(backed_up_ms: number): Promise<void> {
  const done = IDBKeyRange.upperBound(backed_up_ms - MARGIN_MS);
  if ((await withDb((db) => db.photosSent.keysBy("sent_ms", done))).length === 0) return;
  await writing(["photosSent", "meta"], async (db) => {
    await db.photosSent.deleteMany(await db.photosSent.keysBy("sent_ms", done));
    const left = await db.photosSent.all();
    await db.meta.write(
      "sent_bytes",
      left.reduce((sum, photo) => sum + photo.bytes.byteLength, 0),
    );
  });
}

/** The server's log is an older copy: its photos may be, too. Those it has after all are confirmed at once. */
export const sendPhotosAgain = (): Promise<void> =>
  writing(["photos", "photosSent", "meta"], async (db) => {
    for (const { sent_ms: _, ...photo } of await db.photosSent.all()) await db.photos.put(photo);
    await db.photosSent.clear();
    await db.meta.write("sent_bytes", 0);
  });

/** How many are kept, and how many bytes they have. */
export const countSent = (): Promise<{ readonly count: number; readonly bytes: number }> =>
  withDb(async (db) => ({
    count: await db.photosSent.count(),
    bytes: (await db.meta.read<number>("sent_bytes")) ?? 0,
  }));

/** Drop these photos, sent or not. */
export const dropPhotos = (photos: readonly string[]): Promise<void> =>
  writing(["photos", "photosSent", "meta"], (db) => dropPhotosIn(db, photos));

/** The same inside an open transaction. */
export async function dropPhotosIn(
  db: Pick<Stores, "photos" | "photosSent" | "meta">,
  photos: readonly string[],
): Promise<void> {
  await db.photos.deleteMany(photos);
  const sent = await Promise.all(photos.map((sha256) => db.photosSent.get(sha256)));
  if (sent.every((photo) => photo === undefined)) return;
  const bytes = sent.reduce((sum, photo) => sum + (photo?.bytes.byteLength ?? 0), 0);
  await db.photosSent.deleteMany(photos);
  await db.meta.write("sent_bytes", Math.max(0, ((await db.meta.read<number>("sent_bytes")) ?? 0) - bytes));
}
