/** News that a customer is told, and whether this very news was told already. */
import type { Job } from "../fold/state.ts";

/** Something the customer is told. */
export type Telling =
  | { readonly kind: "stop"; readonly reason: string }
  | { readonly kind: "ready" | "returned" | "promise" | "price" | "news" };

/** A price limit of zero: the customer wants a call first. */
export const CALL_FIRST = 0;

/** Whether this very news was told: a second stop, a second promise or a second time ready is told again. */
export const wasTold = (job: Job, telling: Telling): boolean => job.told.some((t) => t.what === whatSlug(job, telling));

/** The slug for news in `customer.told`; the number says which of its kind it was. */
export function whatSlug(job: Job, telling: Telling): string {
  switch (telling.kind) {
    case "stop":
      return numbered(`stop-${telling.reason}`, job.lifts.length + 1);
    case "ready":
    case "returned":
      return numbered(telling.kind, job.leftover.length);
    case "promise":
      return numbered("promise", job.promises.length);
    default:
      return telling.kind;
  }
}

const numbered = (slug: string, nth: number): string => (nth > 1 ? `${slug}-${nth}` : slug);
