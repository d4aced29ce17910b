/** What may go into which box, and when a box may be sealed and shipped. */
import type { Slug } from "../tables.ts";
import { hasBattery, isUnsafeBattery } from "./battery.ts";

export type BoxFacts = {
  readonly code: string;
  readonly supplier: string | null;
  readonly purpose: string | null;
  readonly opened: number | null;
  readonly sealed: object | null;
  /** How many things the box holds now. */
  readonly count: number;
};

export type ThingFacts = {
  readonly code: string;
  readonly name: string | null;
  readonly supplier: string | null;
  readonly purpose: string | null;
  readonly verdict: string | null;
  readonly shipping_caution: string | null;
};

export type PlaceFacts = { readonly kind: string; readonly to?: string };

export type Fit = "fits" | "is_in" | Slug;

/** As many codes as a sealing can name: the list limit of `box.sealed` in events.json. */
export const MOST_IN_BOX = 500;

/** Whether a thing may be put into a box; `thing` is null when no event has named it. The first fault wins. */
export function fits(box: BoxFacts, thing: ThingFacts | null, place: PlaceFacts): Fit {
  if (thing === null || !isGoods(thing))
    return thing !== null && isPart(thing.code) ? "code-unknown" : "core-not-known";
  if (isUnsafeBattery(thing.shipping_caution)) return "battery-not-shippable";
  if (box.opened === null) return "box-not-open";
  if (box.sealed !== null) return place.kind === "at" && place.to === box.code ? "is_in" : "box-sealed";
  if (place.kind === "clash") return "code-clash";
  if (place.to === box.code) return "is_in";
  if (place.to?.startsWith("B")) return "box-elsewhere";
  if (isPart(thing.code) && thing.verdict === "doubtful") return "part-doubtful";
  if (isPart(thing.code) && thing.verdict !== "doa") return "part-not-doa";
  if (thing.supplier !== box.supplier) return "box-wrong-supplier";
  if (purposeOf(thing) !== box.purpose) return "box-wrong-purpose";
  return box.count >= MOST_IN_BOX ? "box-full" : "fits";
}

/** What a thing is to be shipped for: as tagged; a new part only as DOA, once judged so. */
export function purposeOf(thing: Pick<ThingFacts, "code" | "purpose" | "verdict">): string | null {
  return isPart(thing.code) ? (thing.verdict === "doa" ? "doa" : null) : thing.purpose;
}

export type SealFacts = {
  readonly box: Pick<BoxFacts, "opened" | "sealed">;
  /** Codes booked into the box, and those of them whose place is a clash. */
  readonly inside: readonly string[];
  readonly clashing: readonly string[];
  /** Those whose battery was found failed or damaged since they were put in. */
  readonly unsafe: readonly string[];
  /** What the person counted and weighed; null when that is not a whole number. */
  readonly count: number | null;
  readonly weight_g: number | null;
};

/** The heaviest that a box label has room for (labels.json). */
export const MOST_WEIGHT_G = 999_999;

/** Whether a box may be sealed as counted and weighed. Null when it may. */
export function maySeal({ box, inside, clashing, unsafe, count, weight_g }: SealFacts): Slug | null {
  if (box.opened === null) return "box-not-open";
  if (box.sealed !== null) return "box-sealed";
  if (inside.length === 0) return "box-empty";
  if (clashing.length > 0) return "code-clash";
  if (unsafe.length > 0) return "battery-not-shippable";
  if (count !== inside.length) return "box-count-differs";
  if (weight_g === null || weight_g < 1 || weight_g > MOST_WEIGHT_G) return "box-weight-missing";
  return null;
}

/** Whether a box may be handed to the shipper. Null when it may. */
export function mayShip(
  box: { readonly sealed: object | null; readonly shipped: object | null },
  clashing: readonly string[],
  unsafe: readonly string[],
): Slug | null {
  if (box.sealed === null) return "box-not-sealed";
  if (box.shipped !== null) return "box-shipped";
  if (clashing.length > 0) return "code-clash";
  return unsafe.length > 0 ? "battery-not-shippable" : null;
}

/** Where a box goes when it leaves the shop. */
export const leavesTo = (purpose: string | null): "supplier" | "recycler" =>
  purpose === "recycling" || purpose === "battery" ? "recycler" : "supplier";

/**
 * The limits up to which rules for small lithium batteries are lighter, inclusive: 20 Wh per cell, 100 Wh per battery.
 * A prompt only, never a classification.
 */
export const SMALL_LIMITS = {
  cell_mwh: 20_000,
  battery_mwh: 100_000,
  source: "49 CFR 173.185(c)(1)(i); ADR special provision 188 (a), (b); read on secondary pages",
} as const;

/** Batteries of one sort: how many pieces, their total energy, and for how many of them no energy was entered. */
export type Energy = { readonly pieces: number; readonly sum_mwh: number; readonly unknown: number };

export type EnergySum = {
  readonly loose: Energy;
  readonly inside: Energy;
  /** Pieces whose battery failed or is damaged; they are in neither of the two. */
  readonly unsafe: readonly string[];
  readonly over_cell: readonly string[];
  readonly over_battery: readonly string[];
};

type Charged = { readonly code: string; readonly shipping_caution: string | null; readonly energy_mwh: number | null };

/** Energy of loose batteries and of those inside parts, separately. Compared in whole mWh, so nothing is rounded. */
export function energyOf(things: readonly Charged[]): EnergySum {
  const held = things.filter((t) => hasBattery(t.shipping_caution));
  const above = (most: number) => held.filter((t) => t.energy_mwh !== null && t.energy_mwh > most).map((t) => t.code);
  return {
    loose: energyIn(held.filter((t) => t.shipping_caution === "battery_loose")),
    inside: energyIn(held.filter((t) => t.shipping_caution === "battery_inside")),
    unsafe: held.filter((t) => isUnsafeBattery(t.shipping_caution)).map((t) => t.code),
    over_cell: above(SMALL_LIMITS.cell_mwh),
    over_battery: above(SMALL_LIMITS.battery_mwh),
  };
}

const energyIn = (things: readonly Charged[]): Energy => ({
  pieces: things.length,
  sum_mwh: things.reduce((sum, t) => sum + (t.energy_mwh ?? 0), 0),
  unknown: things.filter((t) => t.energy_mwh === null).length,
});

/**
 * What a box is labelled for: loose batteries, even while a box for them is empty, before those inside parts. What
 * failed or is damaged is never shipped in one.
 */
export function boxCaution(
  purpose: string | null,
  things: readonly Charged[],
): "none" | "battery_inside" | "battery_loose" {
  const { loose, inside } = energyOf(things);
  if (loose.pieces > 0 || purpose === "battery") return "battery_loose";
  return inside.pieces > 0 ? "battery_inside" : "none";
}

/**
 * Whether the small limits are shown beside a box. Not where they may not apply: to a recycler, and beside
 * anything that failed or is damaged (49 CFR 173.185(f), by an interpretation of 2024).
 */
export const showsSmallLimits = (purpose: string | null, unsafe: readonly string[]): boolean =>
  leavesTo(purpose) !== "recycler" && unsafe.length === 0;

const isPart = (code: string): boolean => code.startsWith("P");

/** A core once tagged, a part once received. Devices, trays and boxes never go into a box. */
function isGoods(thing: ThingFacts): boolean {
  if (isPart(thing.code)) return thing.name !== null;
  return thing.code.startsWith("C") && thing.purpose !== null;
}
