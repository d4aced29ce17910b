/** Joining the shop: a one-time code for a cookie, a station id and an incarnation. */
import { load, signedOn } from "../current.ts";
import { nowMs } from "../device/clock.ts";
import { beginAgain } from "../log/again.ts";
import { getMeta, putMeta, type StationRow, withDb } from "../log/db.ts";
import { firstRow } from "../log/own.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result } from "../problem.ts";
import { ask, asResult } from "../sync/client.ts";
import { syncSoon } from "../sync/loop.ts";
import { actAs } from "./act.ts";

type Joined = {
  readonly station: string;
  readonly name: string;
  readonly role: string;
  readonly shop_name: string;
  readonly incarnation: string;
};

/** Join with a code. `join-code-unknown`, `join-code-expired`, `busy` when the server cannot be reached. */
export async function join(code: string, name: string): Promise<Result<string>> {
  const answer = await ask<Joined>("POST", "/api/join", name === "" ? { code } : { code, name });
  const joined = asResult(answer, { slug: "busy", detail: "The shop's server cannot be reached from here." });
  if (!joined.ok) return joined;
  const before = await getMeta<StationRow>("station");
  const { station, role, shop_name, incarnation } = joined.value;
  const who = { station, name: joined.value.name, role, shop: shop_name, incarnation };
  if (before === undefined) await putMeta("station", await firstRow(who));
  else await beginAgain(who, "restored", nowMs());
  // Whatever was forgotten, this is a station of the shop that has nothing yet.
  await withDb((db) => db.meta.delete("forgot"));
  await load();
  if (before === undefined) await actAs(null, () => [{ kind: "station.began", body: { reason: "joined" } }]);
  void navigator.storage?.persist?.();
  tellTabs("joined");
  signedOn.value = null;
  syncSoon();
  return ok(shop_name);
}
