/** The states of a battery, as a person chooses them. */
import type { Battery } from "../events/kinds.gen.ts";

export const BATTERY_STATES: readonly { readonly value: Battery; readonly name: string }[] = [
  { value: "sound", name: "Sound: flat, cool, dry, whole" },
  { value: "swollen", name: "Swollen" },
  { value: "punctured", name: "Punctured or bent" },
  { value: "hot", name: "Hot" },
  { value: "leaking", name: "Leaking or smelling" },
];

/** Those that stop a job. */
export const UNSAFE_BATTERY = BATTERY_STATES.filter((s) => s.value !== "sound");
