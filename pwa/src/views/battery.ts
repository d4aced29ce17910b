/** What is said of a part that is or holds a battery, and of its energy. */
import type { ShippingCaution } from "../events/kinds.gen.ts";

/** As they end a sentence. */
export const CAUTION_WORDS: Readonly<Record<ShippingCaution, string>> = {
  none: "no battery",
  battery_inside: "holds a battery",
  battery_loose: "is a battery (loose)",
  battery_failed: "battery failed, ask a licensed shipper",
  battery_damaged: "battery damaged, ask a licensed shipper",
};

/** What to choose from when a part is received: nobody takes in a part that failed already. */
export const RECEIVED_AS: readonly ShippingCaution[] = ["none", "battery_inside", "battery_loose"];

/** As it stands alone; null for what has no battery. */
export const cautionWords = (caution: string | null): string | null =>
  caution === null || caution === "none" ? null : (CAUTION_WORDS[caution as ShippingCaution] ?? caution);

/** Milliwatt-hours as watt-hours, unrounded: 11550 -> "11.55 Wh". */
export const wattHours = (mwh: number): string => `${mwh / 1000} Wh`;
