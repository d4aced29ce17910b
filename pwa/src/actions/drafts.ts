/** Half-filled screens survive the phone: kept on this station until they are finished or thrown away. */
import { nowMs } from "../device/clock.ts";
import { type SavedDraft, withDb, writing } from "../log/db.ts";

/** Keep a draft; called at every change. */
export const keepDraft = (id: string, value: unknown): Promise<void> =>
  withDb((db) => db.drafts.put({ id, at_ms: nowMs(), value }));

export const dropDraft = (id: string): Promise<void> => withDb((db) => db.drafts.delete(id));

export const readDraft = async <T>(id: string): Promise<T | undefined> => (await heldDraft(id))?.value as T | undefined;

export const heldDraft = (id: string): Promise<SavedDraft | undefined> => withDb((db) => db.drafts.get(id));

export const allDrafts = (): Promise<SavedDraft[]> => withDb((db) => db.drafts.all());

/**
 * Keep a draft in place of the one of `seen` (its `at_ms`; null: there was none), or with null drop that one. False,
 * and nothing is written, when another tab has kept or dropped it since. Trying again is harmless.
 */
export const replaceDraft = (id: string, seen: number | null, next: SavedDraft | null): Promise<boolean> =>
  writing(["drafts"], async (db) => {
    const stands = (await db.drafts.get(id))?.at_ms ?? null;
    if (stands === (next?.at_ms ?? null)) return true;
    if (stands !== seen) return false;
    await (next === null ? db.drafts.delete(id) : db.drafts.put(next));
    return true;
  });
