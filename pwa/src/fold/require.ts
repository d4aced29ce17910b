/** The rules whose breaking is a finding (F5.7). */
import type { Event } from "../events/envelope.ts";
import type { Slug } from "../tables.ts";
import type { Draft } from "./draft.ts";
import type { AnyRecord, Counters } from "./state.ts";

type Rule = { readonly slug: Slug; readonly holds: (draft: Draft, record: AnyRecord, event: Event) => boolean };

export const rules: Readonly<Record<string, Rule>> = {
  not_stopped: { slug: "worked-after-stop", holds: (_, job) => job.stage !== "stopped" },
  ledger_zero: {
    slug: "ledger-open",
    holds: (_, job) => Object.values(job.ledger as Record<string, Counters>).every((c) => inTray(c) === 0),
  },
  connectors_in: {
    slug: "connector-open",
    holds: (_, job) =>
      (job.stop as { readonly reason: string } | null)?.reason === "battery" ||
      Object.values(job.connectors as Record<string, Counters>).every((c) => (c.out ?? 0) === (c.back ?? 0)),
  },
  box_open: { slug: "box-sealed", holds: (_, box) => box.sealed === null },
  box_fits: { slug: "box-misfit", holds: boxFits },
};

/** Fasteners of a group that should now lie in the tray. */
export function inTray(counters: Counters): number {
  return (counters.out ?? 0) + (counters.replaced ?? 0) - (counters.lost ?? 0) - (counters.back ?? 0);
}

function boxFits(draft: Draft, box: AnyRecord, event: Event): boolean {
  const code = event.body.thing as string;
  const thing = draft.look("thing", code);
  if (thing === undefined) return true;
  const isPart = code.startsWith("P");
  const purpose = isPart ? (thing.verdict === "doa" ? "doa" : null) : thing.purpose;
  if (isPart && thing.verdict !== null && purpose === null) return false;
  return same(thing.supplier, box.supplier) && same(purpose, box.purpose);
}

const same = (one: unknown, other: unknown): boolean => one === null || other === null || one === other;
