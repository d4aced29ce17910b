/** The rules of which a breach is a finding (F5.7). */
import type { Event } from "../events/envelope.ts";
import type { Slug } from "../tables.ts";
import type { Changes } from "./changes.ts";
import type { AnyRecord, Counters } from "./state.ts";

type Rule = { readonly slug: Slug; readonly holds: (changes: Changes, record: AnyRecord, event: Event) => boolean };

export const rules: Readonly<Record<string, Rule>> = {
  not_stopped: { slug: "worked-after-stop", holds: (_, job) => job.stage !== "stopped" || isIsolating(job) },
  ledger_zero: {
    slug: "ledger-open",
    holds: (_, job) => Object.values(job.ledger as Record<string, Counters>).every((c) => inTray(c) === 0),
  },
  connectors_in: {
    slug: "connector-open",
    holds: (_, job) =>
      STAYS_UNPLUGGED.includes(stopReason(job)) ||
      Object.values(job.connectors as Record<string, Counters>).every((c) => (c.out ?? 0) === (c.back ?? 0)),
  },
  box_open: { slug: "box-sealed", holds: (_, box) => box.sealed === null },
  box_fits: { slug: "box-misfit", holds: boxFits },
  nothing_pressed: {
    slug: "pressed-after-unsafe",
    holds: (_, job) => stopReason(job) !== "battery" || job.cell === "out",
  },
  safe_place: { slug: "unsafe-place", holds: safePlace },
  owner_told: {
    slug: "unsafe-handed-over",
    holds: (_, job, event) => !isUnsafe(job) || (job.cell === "swollen" && event.body.owner_told !== undefined),
  },
};

const STAYS_UNPLUGGED: readonly (string | undefined)[] = ["battery", "liquid"];
const stopReason = (job: AnyRecord): string | undefined => (job.stop as { readonly reason: string } | null)?.reason;

/** A wet job may still have its battery unplugged, and what lies over it taken off for that. */
const isIsolating = (job: AnyRecord): boolean =>
  stopReason(job) === "liquid" && (job.power as readonly unknown[]).length === 0;

const UNSAFE: readonly unknown[] = ["swollen", "punctured", "hot", "leaking"];
const isUnsafe = (job: AnyRecord): boolean => UNSAFE.includes(job.cell);

/** How many fasteners of a group should now be in the tray. */
export function inTray(counters: Counters): number {
  return (counters.out ?? 0) + (counters.replaced ?? 0) - (counters.lost ?? 0) - (counters.back ?? 0);
}

function boxFits(changes: Changes, box: AnyRecord, event: Event): boolean {
  const code = event.body.thing as string;
  const thing = changes.look("thing", code);
  if (thing === undefined) return true;
  const isPart = code.startsWith("P");
  const purpose = isPart ? (thing.verdict === "doa" ? "doa" : null) : thing.purpose;
  if (isPart && thing.verdict !== null && purpose === null) return false;
  return same(thing.supplier, box.supplier) && same(purpose, box.purpose);
}

function safePlace(changes: Changes, thing: AnyRecord, event: Event): boolean {
  const { to, thing: code } = event.body as { readonly to: string; readonly thing: string };
  const caution = (thing.shipping_caution ?? "none") as string;
  if (to !== "shelf" && to !== "bin") return true;
  if (caution === "battery_failed" || caution === "battery_damaged" || (to === "bin" && caution !== "none"))
    return false;
  const job = code.startsWith("D") && thing.job !== null ? changes.look("job", thing.job as string) : undefined;
  return job === undefined || !isUnsafe(job);
}

const same = (one: unknown, other: unknown): boolean => one === null || other === null || one === other;
