/** Continuing in a new chain after a fork, a restored storage or a restored server (F3.1, F3.4, F4.4). */
import { load } from "../current.ts";
import { beginAgain } from "../log/again.ts";
import type { OwnEvent } from "../log/db.ts";
import { ask, type Halt } from "./client.ts";

type Who = { readonly station: string; readonly name: string; readonly role: string; readonly shop_name: string };

/** Take a new incarnation and write again what the server lacks. Null when done, else why not. */
export async function renew(
  reason: "restored" | "forked",
  nowMs: number,
  older: readonly OwnEvent[] = [],
): Promise<Halt | null> {
  const who = await ask<Who | null>("GET", "/api/station");
  if (!who.ok) return who.problem;
  const fresh = await ask<{ readonly incarnation: string } | null>("POST", "/api/station/incarnation", { reason });
  if (!fresh.ok) return fresh.problem;
  if (who.value === null || fresh.value === null) return "offline";
  const { station, name, role, shop_name } = who.value;
  const given = { station, name, role, shop: shop_name, incarnation: fresh.value.incarnation };
  const begun = await beginAgain(given, reason, nowMs, older);
  if (!begun.ok) return begun.problem;
  await load();
  return null;
}
