/** The ledger as a person reads it: groups with their pockets, and what lies in the tray. */
import type { Job } from "../fold/state.ts";
import { inTray, isLookAlike, longerOne, longScrews } from "../rules/ledger.ts";
import type { Fastener, Procedure, Step } from "../rules/procedure.ts";

export type GroupLine = {
  readonly fastener: Fastener;
  readonly tray: number;
  readonly lost: number;
  readonly replaced: number;
  /** Taken out at least once. */
  readonly touched: boolean;
};

export const groupLines = (job: Job, procedure: Procedure): readonly GroupLine[] =>
  procedure.fasteners.map((fastener) => {
    const counters = job.ledger[fastener.id];
    return {
      fastener,
      tray: inTray(counters),
      lost: counters?.lost ?? 0,
      replaced: counters?.replaced ?? 0,
      touched: (counters?.out ?? 0) > 0,
    };
  });

/** "In the tray: 7 — Bottom screws 2, Cable shield 5". */
export function trayText(job: Job, procedure: Procedure): string {
  const held = groupLines(job, procedure).filter((g) => g.tray > 0);
  if (held.length === 0) return "In the tray: nothing";
  const total = held.reduce((sum, g) => sum + g.tray, 0);
  return `In the tray: ${total} — ${held.map((g) => `${g.fastener.name} ${g.tray}`).join(", ")}`;
}

export type PocketView = {
  readonly pocket: number;
  readonly name: string | null;
  readonly count: number;
  readonly lit: "into" | "from" | null;
};

/** Every numbered pocket up to the procedure's last, in rows of four, with what is in it and whether this step uses it. */
export function pockets(job: Job, procedure: Procedure, step: Step | null): readonly PocketView[] {
  const last = Math.max(4, ...procedure.fasteners.map((f) => f.pocket));
  const number = Math.ceil(last / 4) * 4;
  return Array.from({ length: number }, (_, index) => {
    const here = procedure.fasteners.filter((f) => f.pocket === index + 1);
    const uses = (kind: "remove" | "insert"): boolean =>
      step?.ops.some((op) => op.op === kind && here.some((f) => f.id === op.group)) === true;
    return {
      pocket: index + 1,
      name: here.map((f) => f.name).join(", ") || null,
      count: here.reduce((sum, f) => sum + inTray(job.ledger[f.id]), 0),
      lit: uses("remove") ? "into" : uses("insert") ? "from" : null,
    };
  });
}

export type FastenerLine = {
  readonly fastener: Fastener;
  readonly count: number;
  readonly way: "out" | "in";
  readonly twins: readonly Fastener[];
  readonly long: boolean;
  /** Where one goes in that has a longer one of its kind: the longer one, which does harm here. */
  readonly longer: Fastener | null;
};

/** The fasteners of a step as it shows them: how many, which way, what they are mistaken for, and which is the long one. */
export function fastenerLines(job: Job, procedure: Procedure, step: Step): readonly FastenerLine[] {
  const long = longScrews(step, procedure);
  let lines: readonly FastenerLine[] = [];
  for (const op of step.ops) {
    const fastener =
      op.op === "remove" || op.op === "insert" ? procedure.fasteners.find((f) => f.id === op.group) : undefined;
    if (fastener === undefined || (op.op !== "remove" && op.op !== "insert")) continue;
    const held = inTray(job.ledger[fastener.id]);
    const both = lines.some((l) => l.fastener.id === fastener.id);
    const count = op.op === "insert" && !both ? held : fastener.count;
    const line: FastenerLine = {
      fastener,
      count,
      way: op.op === "remove" ? "out" : "in",
      twins: procedure.fasteners.filter((f) => f.id !== fastener.id && isLookAlike(f, fastener)),
      long: long.includes(fastener) || fastener.caution === "long_screw",
      longer: op.op === "insert" ? longerOne(fastener, procedure) : null,
    };
    lines = [...lines.filter((l) => l.fastener.id !== fastener.id), line];
  }
  return lines;
}
