/** The fastener ledger: what is in the tray, what a step books, what may be entered as lost, which groups look alike (F5.7). */
import type { Counters } from "../fold/state.ts";
import type { Fastener, Op, Procedure, Step } from "./procedure.ts";

export type Ledger = Readonly<Record<string, Counters>>;

/** Groups of one drive and thread whose lengths differ by less than this look alike. A guess: nobody has measured what people tell apart. */
export const LOOK_ALIKE_UM = 600;

export type FastenerBooking = {
  readonly kind: "fastener.removed" | "fastener.returned";
  readonly group: string;
  readonly pocket: number;
  readonly count: number;
};
export type ConnectorBooking = {
  readonly kind: "connector.unplugged" | "connector.plugged";
  readonly connector: string;
};
export type Booking = FastenerBooking | ConnectorBooking;

/** How many fasteners of a group should now be in the tray. */
export function inTray(counters: Counters | undefined): number {
  const { out = 0, replaced = 0, lost = 0, back = 0 } = counters ?? {};
  return out + replaced - lost - back;
}

/**
 * What doing a step writes, in the order of its operations. `counted` says where fewer came out than the procedure
 * expects; a return gives back what the tray holds of the group, so that a lost one is not returned.
 */
export function bookings(
  step: Step,
  procedure: Procedure,
  ledger: Ledger,
  counted: Readonly<Record<string, number>> = {},
): readonly Booking[] {
  const now = new Map<string, number>();
  const held = (group: string): number => now.get(group) ?? inTray(ledger[group]);
  const written: Booking[] = [];
  for (const op of step.ops) {
    if (op.op === "unplug") written.push({ kind: "connector.unplugged", connector: op.connector });
    if (op.op === "plug") written.push({ kind: "connector.plugged", connector: op.connector });
    if (op.op !== "remove" && op.op !== "insert") continue;
    const fastener = fastenerOf(procedure, op.group);
    const { id: group, pocket } = fastener;
    if (op.op === "remove") {
      const count = counted[group] ?? fastener.count;
      if (count > 0) written.push({ kind: "fastener.removed", group, pocket, count });
      now.set(group, held(group) + count);
    } else {
      const count = held(group);
      if (count > 0) written.push({ kind: "fastener.returned", group, pocket, count });
      now.set(group, held(group) - Math.max(count, 0));
    }
  }
  return written;
}

/** What takes bookings back, the last first. Nothing is put back that the tray does not hold: it may be lost since. */
export function takingBack(booked: readonly Booking[], ledger: Ledger): readonly Booking[] {
  const now = new Map<string, number>();
  const written: Booking[] = [];
  for (const b of [...booked].reverse()) {
    switch (b.kind) {
      case "connector.unplugged":
        written.push({ ...b, kind: "connector.plugged" });
        break;
      case "connector.plugged":
        written.push({ ...b, kind: "connector.unplugged" });
        break;
      case "fastener.returned":
        written.push({ ...b, kind: "fastener.removed" });
        now.set(b.group, (now.get(b.group) ?? inTray(ledger[b.group])) + b.count);
        break;
      case "fastener.removed": {
        const held = now.get(b.group) ?? inTray(ledger[b.group]);
        const count = Math.min(b.count, held);
        if (count > 0) written.push({ ...b, kind: "fastener.returned", count });
        now.set(b.group, held - Math.max(count, 0));
        break;
      }
    }
  }
  return written;
}

/** Groups that the ledger does not balance to zero, with what the tray should hold. */
export const openGroups = (ledger: Ledger): readonly { readonly group: string; readonly count: number }[] =>
  Object.entries(ledger)
    .map(([group, counters]) => ({ group, count: inTray(counters) }))
    .filter((g) => g.count !== 0);

/** Connectors that are unplugged more often than plugged in. */
export const openConnectors = (connectors: Ledger): readonly string[] =>
  Object.entries(connectors)
    .filter(([, c]) => (c.out ?? 0) !== (c.back ?? 0))
    .map(([id]) => id);

/** Whether this many can be lost or damaged: what is not in the tray can only be replaced one for one. */
export const lossFits = (counters: Counters | undefined, count: number, replaced: number): boolean =>
  count > 0 && replaced >= 0 && replaced <= count && inTray(counters) + replaced - count >= 0;

/** Same bit, same thread, and lengths that look alike. */
export const isLookAlike = (one: Fastener, other: Fastener): boolean =>
  one.drive === other.drive && one.thread === other.thread && Math.abs(one.length_um - other.length_um) < LOOK_ALIKE_UM;

/** Pairs of groups that look alike, the shorter first. */
export function lookAlikes(fasteners: readonly Fastener[]): readonly (readonly [Fastener, Fastener])[] {
  const pairs: (readonly [Fastener, Fastener])[] = [];
  fasteners.forEach((one, index) => {
    for (const other of fasteners.slice(index + 1)) {
      if (!isLookAlike(one, other)) continue;
      pairs.push(one.length_um <= other.length_um ? [one, other] : [other, one]);
    }
  });
  return pairs;
}

/** The groups a closing step warns of by name: those marked as long, and the longest of several lengths that share a thread. */
export function longScrews(step: Step, procedure: Procedure): readonly Fastener[] {
  const going = groupsOf(step, procedure, "insert");
  return going.filter((f) => {
    const alike = going.filter((g) => g.thread === f.thread && g.drive === f.drive);
    const longest = alike.some((g) => g.length_um < f.length_um) && alike.every((g) => g.length_um <= f.length_um);
    return f.caution === "long_screw" || longest;
  });
}

/** The longest group that fits where this one goes: same drive, same thread, longer. In this one's hole it would go too deep. */
export function longerOne(fastener: Fastener, { fasteners }: Procedure): Fastener | null {
  const longer = fasteners.filter(
    (f) => f.drive === fastener.drive && f.thread === fastener.thread && f.length_um > fastener.length_um,
  );
  return longer.reduce<Fastener | null>((a, b) => (a === null || b.length_um > a.length_um ? b : a), null);
}

/** The groups a step removes or inserts, in its order. */
export const groupsOf = (step: Step, procedure: Procedure, which: "remove" | "insert"): readonly Fastener[] =>
  step.ops
    .filter((op): op is Op & { readonly group: string } => op.op === which)
    .map((op) => fastenerOf(procedure, op.group));

function fastenerOf(procedure: Procedure, group: string): Fastener {
  const found = procedure.fasteners.find((f) => f.id === group);
  if (found === undefined) throw new Error(`procedure ${procedure.id} has no group ${group}`);
  return found;
}
