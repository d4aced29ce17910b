/** New parts: which kinds there are, and what lies on the shelf. */
import { state } from "../current.ts";
import type { ShippingCaution } from "../events/kinds.gen.ts";
import { catalogue, procedures } from "../facts/catalogue.ts";
import { placeOf } from "../facts/things.ts";

export type PartKind = { readonly kind: string; readonly name: string; readonly supplier: string | null };

/** Kinds of parts: the catalogue's, then those that only a procedure names. */
export function partKinds(): readonly PartKind[] {
  const kinds = new Map<string, PartKind>();
  for (const { kind, name, supplier } of catalogue().parts ?? [])
    kinds.set(kind, { kind, name, supplier: supplier ?? null });
  for (const { part, model } of procedures()) {
    if (!kinds.has(part.kind))
      kinds.set(part.kind, { kind: part.kind, name: `${part.name}, ${model}`, supplier: null });
  }
  return [...kinds.values()].sort((a, b) => a.name.localeCompare(b.name));
}

export type BatteryOf = { readonly shipping_caution: ShippingCaution; readonly energy_mwh: number | null };

/** What a new part of a kind is or holds: that of the old part it replaces, as a procedure has it. Null when none does. */
export function batteryOf(kind: string): BatteryOf | null {
  const core = procedures().find((p) => p.part.kind === kind)?.core;
  if (core === undefined) return null;
  return { shipping_caution: core.shipping_caution as ShippingCaution, energy_mwh: core.energy_mwh ?? null };
}

export type Lot = {
  readonly name: string;
  readonly supplier: string | null;
  readonly lot: string;
  readonly codes: readonly string[];
};

/** Parts on the shelf by name, supplier and lot. */
export function lotsOnShelf(): readonly Lot[] {
  const lots = new Map<string, Lot & { readonly codes: string[] }>();
  for (const [code, thing] of state.value.thing) {
    const place = placeOf(thing);
    if (!code.startsWith("P") || place.kind !== "at" || place.to !== "shelf" || thing.lot === null) continue;
    const { name, supplier, lot } = thing;
    const key = JSON.stringify([name, supplier, lot]);
    const held = lots.get(key) ?? { name: name ?? code, supplier, lot, codes: [] };
    held.codes.push(code);
    lots.set(key, held);
  }
  return [...lots.values()].sort((a, b) => `${a.name} ${a.lot}`.localeCompare(`${b.name} ${b.lot}`));
}
