/** Where something may lie: an unsafe battery neither on the shelf nor in the bin, no battery at all in the bin (F5.7, `safe_place`). */
import safetyTable from "@shared/safety.json";
import { type Result, refuse } from "../problem.ts";
import type { Slug } from "../tables.ts";
import { hasBattery, isUnsafeBattery } from "./battery.ts";

export type LyingFacts = {
  readonly code: string;
  readonly shipping_caution: string | null;
  /** Of a device: the state of its battery, as its job has it. */
  readonly cell: string | null;
};

/** What lies there, for the rule: every device is taken to have its battery in it. */
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

/** Whether a device's battery, as its job has it, makes the device unsafe. */
export const isUnsafeCell = (cell: string | null): boolean => cell !== null && safetyTable.unsafe_states.includes(cell);

function dangerOf({ code, shipping_caution, cell }: LyingFacts): Danger {
  if (isUnsafeBattery(shipping_caution) || isUnsafeCell(cell)) return "unsafe";
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
 * agreed. `field-missing`, `pick-up-no-paper`, `lead-only`, `owner-not-asked`.
 */
export function mayCollect({ things, who, paper, agreed }: PickUp, isLead: boolean): Result<true> {
  if (things.length === 0) return refuse("field-missing", "Choose what is collected.");
  if (things.length > MOST_COLLECTED) return refuse("field-missing", `At most ${MOST_COLLECTED} with one paper.`);
  if (who.trim() === "") return refuse("field-missing", "Say who collects it.");
  if (paper.trim() === "") return refuse("pick-up-no-paper");
  const devices = things.filter((code) => code.startsWith("D"));
  if (devices.length > 0 && !isLead) return refuse("lead-only", "A customer's device is among them.");
  const unasked = devices.find((code) => (agreed[code] ?? "").trim() === "");
  return unasked === undefined ? { ok: true, value: true } : refuse("owner-not-asked", unasked);
}
