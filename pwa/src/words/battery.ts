/** Words for batteries: the states a person chooses from, what a part is or holds, and its energy. */
import type { Battery, ShippingCaution } from "../events/kinds.gen.ts";

export const BATTERY_STATES: readonly { readonly value: Battery; readonly name: string }[] = [
  { value: "sound", name: "Sound: flat, cool, dry, whole" },
  { value: "swollen", name: "Swollen" },
  { value: "punctured", name: "Punctured or bent" },
  { value: "hot", name: "Hot" },
  { value: "leaking", name: "Leaking or smelling" },
];

/** Those that stop a job. */
export const UNSAFE_BATTERY = BATTERY_STATES.filter((s) => s.value !== "sound");

/** What battery a part or an old part is or holds, as the end of a sentence. */
export const CAUTION_WORDS: Readonly<Record<ShippingCaution, string>> = {
  none: "no battery",
  battery_inside: "holds a battery",
  battery_loose: "is a battery (loose)",
  battery_failed: "battery failed, ask a licensed shipper",
  battery_damaged: "battery damaged, ask a licensed shipper",
};

/** The choices when a part is received: nobody takes in a part that has failed already. */
export const RECEIVED_AS: readonly ShippingCaution[] = ["none", "battery_inside", "battery_loose"];

/** The same standing alone; null for what has no battery. */
export const cautionWords = (caution: ShippingCaution | null): string | null =>
  caution === null || caution === "none" ? null : CAUTION_WORDS[caution];

/** Milliwatt-hours as watt-hours, unrounded: 11550 -> "11.55 Wh". */
export const wattHours = (mwh: number): string => `${mwh / 1000} Wh`;
