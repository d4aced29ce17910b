/** How long the shop's server was not heard: a station that may be lost does not show the shop for ever (F8.11). */
import { type Doc, putMeta, reading, type StationRow } from "./db.ts";

/** In `meta`, from the moment it forgot what it held of the shop until it has it again. */
export type Forgot = {
  readonly why: "silent" | "revoked";
  /** When the server last answered well; null when that is not known. */
  readonly reached_ms: number | null;
  /** The shop's setting, which is forgotten as well. */
  readonly days: number;
};

/** Where the shop has said nothing. Common practice, no source. */
export const FORGET_AFTER_DAYS = 60;
const DAY_MS = 86_400_000;

/**
 * At a start, before anything of the shop is read: forget it when the silence was too long. Also when it was forgotten
 * before: screens of another tab, which were open then, may have kept something since.
 */
export async function forgetWhenDue(nowMs: number): Promise<void> {
  const [row, forgot, reached_ms, shop] = await reading(["meta", "docs"], (db) =>
    Promise.all([
      db.meta.read<StationRow>("station"),
      db.meta.read<Forgot>("forgot"),
      db.meta.read<number>("reached_ms"),
      db.docs.get("shop"),
    ]),
  );
  if (row === undefined) return;
  const days = forgetAfterDays(shop);
  if (forgot === undefined && reached_ms !== undefined && reached_ms <= nowMs) {
    if (nowMs - reached_ms <= days * DAY_MS) return;
    await forget({ why: "silent", reached_ms, days });
  } else if (forgot !== undefined) await forget(forgot);
  // Never noted, or by a clock that was ahead: the silence is counted from here.
  else await putMeta("reached_ms", nowMs);
}

/** A start that cannot load this shows nothing of the shop either. */
const forget = async (forgot: Forgot): Promise<void> => (await import("./forgetShop.ts")).forgetShop(forgot);

/** An older document may hold anything. */
export function forgetAfterDays(shop: Doc | undefined): number {
  const days = (shop?.body as { readonly forget_after_days?: unknown } | null | undefined)?.forget_after_days;
  return typeof days === "number" && days >= 1 ? days : FORGET_AFTER_DAYS;
}
