/** Whether the person signed on has passed today's static check. */
import { signedOn, state } from "../current.ts";
import { strapPasses } from "../rules/strap.ts";

export type StrapToday = { readonly kind: "open" } | { readonly kind: "passed" | "failed"; readonly ohms: number };

export function strapToday(dayBeganMs: number): StrapToday {
  const last = signedOn.value === null ? undefined : state.value.staff.get(signedOn.value)?.strap.wrist_strap;
  if (last === undefined || last.at_ms < dayBeganMs) return { kind: "open" };
  return { kind: strapPasses(last.ohms, last.limit_ohms) ? "passed" : "failed", ohms: last.ohms };
}

/** 1200000 -> "1.2 M ohm". */
export function ohmText(ohms: number): string {
  const [value, unit] = ohms >= 1_000_000 ? [ohms / 1_000_000, "M ohm"] : [ohms / 1_000, "k ohm"];
  return `${Number(value.toFixed(3))} ${unit}`;
}
