/** A joined station with somebody signed on, on an empty store, for the tests of the counter. */
import "fake-indexeddb/auto";
import { docs, load, signedOn, takeDocs } from "@pwa/current.ts";
import { CONSENT_SLUGS } from "@pwa/facts/agreement.ts";
import type { Because, Job, Reading, TestResult } from "@pwa/fold/state.ts";
import { type Doc, putMeta, withDb } from "@pwa/log/db.ts";
import { firstRow } from "@pwa/log/own.ts";
import type { SafetyAnswers } from "@pwa/rules/safety.ts";
import { blankRecords } from "@pwa/tables.ts";
import { textOf } from "./texts.ts";

export const STAFF = "W0A1";

/** Begin anew: an empty store, station `7K2`, one person signed on. */
export async function newStation(role: "counter" | "lead" = "counter"): Promise<void> {
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
  const who = { station: "S7K2", name: "Desk", role: "counter", shop: "Test shop", incarnation: "7K2" };
  await putMeta("station", await firstRow(who));
  docs.value = new Map();
  await load();
  signedOn.value = STAFF;
  know({ id: `staff:${STAFF}`, kind: "staff", body: { name: "Ada", role, badge_salt: "", badge_hash: "" } });
}

export const know = (doc: Omit<Doc, "rev">): void => takeDocs([{ rev: 1, ...doc }]);

/** A booked job's record, as the fold would have it, with some of it changed. */
export function aJob(changed: Partial<Job> = {}): Job {
  return {
    ...(blankRecords.job as unknown as Job),
    booked: true,
    model: "Quillet 5",
    complaint: textOf("Glass broken"),
    ...changed,
  };
}

export const at = (at_ms: number) => ({ event: `7K2.${at_ms}`, staff: STAFF, at_ms });

/** A reading with a ready reason, or with one in words. */
export const reading = (result: TestResult, because: Because | null = null, why: string | null = null): Reading => ({
  ...at(1),
  result,
  because,
  why: why === null ? null : textOf(why),
  try: null,
});

/** The three questions before any test, all answered no. */
export const SAFE: SafetyAnswers = { wet: "no", bulging: "no", hot: "no" };
/** Everything that is asked, agreed. */
export const AGREED: Readonly<Record<string, "yes" | "no">> = Object.fromEntries(
  CONSENT_SLUGS.map((slug) => [slug, "yes"]),
);
