/** What may lie in which box, and when a box may be sealed and shipped. */
import type { Slug } from "../tables.ts";

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
  if (thing.shipping_caution === "battery_damaged") return "battery-not-shippable";
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
  /** What the person counted and weighed; null when that is not a whole number. */
  readonly count: number | null;
  readonly weight_g: number | null;
};

/** The heaviest that a box label has room for (labels.json). */
export const MOST_WEIGHT_G = 999_999;

/** Whether a box may be sealed as counted and weighed. Null when it may. */
export function maySeal({ box, inside, clashing, count, weight_g }: SealFacts): Slug | null {
  if (box.opened === null) return "box-not-open";
  if (box.sealed !== null) return "box-sealed";
  if (inside.length === 0) return "box-empty";
  if (clashing.length > 0) return "code-clash";
  if (count !== inside.length) return "box-count-differs";
  if (weight_g === null || weight_g < 1 || weight_g > MOST_WEIGHT_G) return "box-weight-missing";
  return null;
}

/** Whether a box may be handed to the shipper. Null when it may. */
export function mayShip(
  box: { readonly sealed: object | null; readonly shipped: object | null },
  clashing: readonly string[],
): Slug | null {
  if (box.sealed === null) return "box-not-sealed";
  if (box.shipped !== null) return "box-shipped";
  return clashing.length > 0 ? "code-clash" : null;
}

/** Where a box goes when it leaves the shop. */
export const leavesTo = (purpose: string | null): "supplier" | "recycler" =>
  purpose === "recycling" || purpose === "battery" ? "recycler" : "supplier";

/**
 * The limits up to which small lithium batteries are eased, each inclusive: 20 Wh a cell, 100 Wh a battery.
 * A prompt only, never a classification.
 */
export const SMALL_LIMITS = {
  cell_mwh: 20_000,
  battery_mwh: 100_000,
  source: "49 CFR 173.185(c)(1)(i); ADR special provision 188 (a), (b); read on secondary pages",
} as const;

export type EnergySum = {
  readonly sum_mwh: number;
  /** Pieces with a battery whose energy nobody has written down. */
  readonly unknown: number;
  readonly over_cell: readonly string[];
  readonly over_battery: readonly string[];
};

type Charged = { readonly code: string; readonly shipping_caution: string | null; readonly energy_mwh: number | null };

/** Energy of all pieces together, and those above a small limit. Compared in whole mWh, so nothing is rounded. */
export function energyOf(things: readonly Charged[]): EnergySum {
  const known = things.filter((t) => t.energy_mwh !== null) as readonly (Charged & { readonly energy_mwh: number })[];
  const hasBattery = (t: Charged) =>
    t.shipping_caution === "battery_inside" || t.shipping_caution === "battery_damaged";
  return {
    sum_mwh: known.reduce((sum, t) => sum + t.energy_mwh, 0),
    unknown: things.filter((t) => hasBattery(t) && t.energy_mwh === null).length,
    over_cell: known.filter((t) => t.energy_mwh > SMALL_LIMITS.cell_mwh).map((t) => t.code),
    over_battery: known.filter((t) => t.energy_mwh > SMALL_LIMITS.battery_mwh).map((t) => t.code),
  };
}

const isPart = (code: string): boolean => code.startsWith("P");

/** A core once tagged, a part once received. Devices, trays and boxes never go into a box. */
function isGoods(thing: ThingFacts): boolean {
  if (isPart(thing.code)) return thing.name !== null;
  return thing.code.startsWith("C") && thing.purpose !== null;
}
