/** Words for batteries: the states a person chooses from, what a part is or holds, and its energy. */
import type { ShippingCaution } from "../events/kinds.gen.ts";
import { choicesOf, valueName } from "./values.ts";

/** The states that stop a job. */
export const UNSAFE_BATTERY = choicesOf("battery", ["swollen", "punctured", "hot", "leaking"]);

/** The choices when a part is received: nobody takes in a part that has failed already. */
export const RECEIVED_AS = choicesOf("shipping_caution", ["none", "battery_inside", "battery_loose"]);

/** What battery a part or an old part is or holds; null where it has none. */
export const cautionWords = (caution: ShippingCaution | null): string | null =>
  caution === null || caution === "none" ? null : valueName("shipping_caution", caution);

/** Milliwatt-hours as watt-hours, unrounded: 11550 -> "11.55 Wh". */
export const wattHours = (mwh: number): string => `${mwh / 1000} Wh`;
