/** What the shop holds about a customer: looked at, handed out, erased for good. All on the server, by a lead. */
import { isLead } from "../facts/people.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { ask, asResult } from "../sync/client.ts";
import { syncSoon } from "../sync/loop.ts";
import { onePress } from "./onePress.ts";

export type CustomerHeld = {
  readonly jobs: readonly string[];
  readonly open: readonly string[];
  /** Jobs of other cards with the same name or number. */
  readonly others: readonly string[];
  readonly texts: number;
  readonly photos: number;
  /** When what is erased now is in no scheduled backup any more; null when none are scheduled. */
  readonly backups_until_ms: number | null;
};

/** How much there is. `lead-only`, `shop-offline`. */
export async function customerHeld(contact: string): Promise<Result<CustomerHeld>> {
  if (!isLead()) return refuse("lead-only");
  return asResult(await ask<CustomerHeld>("GET", `/api/customers/${contact}`), { slug: "shop-offline" });
}

/** Where the server hands everything out as one file. */
export const exportAddress = (contact: string): string => `/api/customers/${contact}/export`;

/** Erase for good; false while the server has to try again. `lead-only`, `shop-offline`, `customer-job-open`. */
export const eraseCustomer = onePress(async (contact: string): Promise<Result<boolean>> => {
  if (!isLead()) return refuse("lead-only");
  const answer = await ask<{ readonly done: boolean }>("POST", `/api/customers/${contact}/erase`);
  const erased = asResult(answer, { slug: "shop-offline" });
  if (!erased.ok) return erased;
  syncSoon();
  return ok(erased.value.done);
});
