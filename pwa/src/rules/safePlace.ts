/** Where something may be put: an unsafe battery neither on the shelf nor in the bin, and no battery in the bin (F5.7, `safe_place`). */
import type { Slug } from "../tables.ts";
import { hasBattery, isUnsafeBattery } from "./battery.ts";

export type LyingFacts = {
  readonly code: string;
  readonly shipping_caution: string | null;
  /** For a device: whether its job says that its battery is unsafe. */
  readonly unsafe_cell: boolean;
};

/** What the thing is, for the rule: every device is assumed to have its battery inside. */
type Danger = "unsafe" | "battery" | "none";

const REFUSED: Readonly<Record<Danger, readonly string[]>> = {
  unsafe: ["shelf", "bin"],
  battery: ["bin"],
  none: [],
};

/** Whether a place may be chosen for a thing by hand; `unsafe-place` when not. */
export const mayLieAt = (thing: LyingFacts, place: string): Slug | null =>
  REFUSED[dangerOf(thing)].includes(place) ? "unsafe-place" : null;

/** Whether a thing belongs in the safe place. */
export const isUnsafe = (thing: LyingFacts): boolean => dangerOf(thing) === "unsafe";

function dangerOf({ code, shipping_caution, unsafe_cell }: LyingFacts): Danger {
  if (isUnsafeBattery(shipping_caution) || unsafe_cell) return "unsafe";
  return code.startsWith("D") || hasBattery(shipping_caution) ? "battery" : "none";
}

export type PickUp = {
  readonly things: readonly string[];
  readonly who: string;
  readonly paper: string;
  /** What the owner of each device agreed to, by the device's code. */
  readonly agreed: Readonly<Record<string, string>>;
};

/** As many things as one pick-up can name: the list limit of `safe.collected` in events.json. */
export const MOST_COLLECTED = 200;

/**
 * Whether things may be handed to a collector: with a name and a paper, and a device only by a lead once its owner
 * agreed. Null when they may.
 */
export function mayCollect({ things, who, paper, agreed }: PickUp, isLead: boolean): Slug | null {
  if (things.length === 0 || things.length > MOST_COLLECTED || who.trim() === "") return "field-missing";
  if (paper.trim() === "") return "pick-up-no-paper";
  const devices = things.filter((code) => code.startsWith("D"));
  if (devices.length > 0 && !isLead) return "lead-only";
  return devices.every((code) => (agreed[code] ?? "").trim() !== "") ? null : "owner-not-asked";
}
