/** Half-filled screens survive the phone: kept on this station until they are finished or thrown away. */
import { nowMs } from "../device/clock.ts";
import { type SavedDraft, withDb } from "../log/db.ts";

/** Keep a draft; called at every change. */
export const keepDraft = (id: string, value: unknown): Promise<void> =>
  withDb(async (db) => {
    await db.drafts.put({ id, at_ms: nowMs(), value });
  });

export const dropDraft = (id: string): Promise<void> => withDb((db) => db.drafts.delete(id));

export const readDraft = <T>(id: string): Promise<T | undefined> =>
  withDb(async (db) => (await db.drafts.get(id))?.value as T | undefined);

export const allDrafts = (): Promise<SavedDraft[]> => withDb((db) => db.drafts.toArray());
