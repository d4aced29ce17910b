import { state } from "../current.ts";
import type { Box, Thing } from "../fold/state.ts";
import type { Problem } from "../problem.ts";
import { type BoxFacts, type Fit, fits, purposeOf, type ThingFacts } from "../rules/boxes.ts";
import { purposeName } from "../words/boxes.ts";
import { groupCode } from "../words/format.ts";
import { catalogue, supplierName } from "./catalogue.ts";
import { placeOf, placeOfCode, thingsAt } from "./things.ts";

export type BoxLine = { readonly code: string; readonly box: Box; readonly count: number };
export type BoxLists = {
  readonly open: readonly BoxLine[];
  readonly sealed: readonly BoxLine[];
  readonly shipped: readonly BoxLine[];
};

/** All boxes: open ones by supplier and purpose, sealed ones longest waiting first, shipped ones newest first. */
export function boxLists(): BoxLists {
  const counts = countsInBoxes();
  const lines = [...state.value.box].filter(([, b]) => b.opened !== null || b.sealed !== null || b.shipped !== null);
  const all = lines.map(([code, box]) => ({ code, box, count: counts.get(code) ?? 0 }));
  const name = ({ box, code }: BoxLine) => `${supplierName(box.supplier)} ${purposeName(box.purpose)} ${code}`;
  return {
    open: all
      .filter(({ box }) => box.sealed === null && box.shipped === null)
      .sort((a, b) => name(a).localeCompare(name(b))),
    sealed: all
      .filter(({ box }) => box.sealed !== null && box.shipped === null)
      .sort((a, b) => (a.box.sealed?.at_ms ?? 0) - (b.box.sealed?.at_ms ?? 0)),
    shipped: all
      .filter(({ box }) => box.shipped !== null)
      .sort((a, b) => (b.box.shipped?.at_ms ?? 0) - (a.box.shipped?.at_ms ?? 0)),
  };
}

export type Piece = { readonly code: string; readonly thing: Thing; readonly clash: boolean };

/** Everything booked into a box, a clash counting at each of its places. */
export const piecesOf = (box: string): readonly Piece[] =>
  thingsAt(box).map((code) => {
    const thing = state.value.thing.get(code) as Thing;
    return { code, thing, clash: placeOf(thing).kind === "clash" };
  });

export function boxFacts(code: string): BoxFacts {
  const box = state.value.box.get(code);
  const { supplier, purpose, opened, sealed } = box ?? { supplier: null, purpose: null, opened: null, sealed: null };
  return { code, supplier, purpose, opened, sealed, count: thingsAt(code).length };
}

export function thingFacts(code: string): ThingFacts | null {
  const thing = state.value.thing.get(code);
  if (thing === undefined) return code.startsWith("P") ? { ...UNKNOWN, code } : null;
  return { ...thing, code };
}

const UNKNOWN = { name: null, supplier: null, purpose: null, verdict: null, shipping_caution: null };

/** Whether a thing may go into a box now. */
export const fitNow = (box: string, thing: string): Fit => fits(boxFacts(box), thingFacts(thing), placeOfCode(thing));

/** A refusal at a box; `box` is where to look instead, `thing` what was scanned. */
export type BoxRefusal = Problem & { readonly thing: string; readonly box?: string };

/** A refusal with its details: which part, which box it is in, which open box it should go to. */
export function refusalOf(slug: Exclude<Fit, "fits" | "is_in">, code: string): BoxRefusal {
  const thing = state.value.thing.get(code);
  const place = placeOf(thing);
  const its = thing?.name ?? groupCode(code);
  switch (slug) {
    case "box-elsewhere": {
      const box = place.kind === "at" ? place.to : "";
      return { slug, thing: code, box, detail: `${its} is in box ${groupCode(box)}.` };
    }
    case "box-wrong-supplier":
    case "box-wrong-purpose": {
      const supplier = thing?.supplier ?? null;
      const purpose = purposeOf({ code, purpose: thing?.purpose ?? null, verdict: thing?.verdict ?? null });
      const belongs = `${its} is for ${supplierName(supplier)}, ${purposeName(purpose)}.`;
      const box = openBoxFor(supplier, purpose);
      if (box === null) return { slug, thing: code, detail: `${belongs} No box is open for that.` };
      return { slug, thing: code, box, detail: `${belongs} Its box is ${groupCode(box)}.` };
    }
    case "code-clash": {
      const places = place.kind === "clash" ? place.places.map(groupPlace).join(" or ") : "";
      return { slug, thing: code, detail: `${its}: ${places}.` };
    }
    default:
      return { slug, thing: code, detail: its };
  }
}

/** An open box for a supplier and purpose, the one opened last. */
export function openBoxFor(supplier: string | null, purpose: string | null): string | null {
  const fitting = [...state.value.box].filter(
    ([, b]) => b.opened !== null && b.sealed === null && b.supplier === supplier && b.purpose === purpose,
  );
  fitting.sort(([, a], [, b]) => (b.opened ?? 0) - (a.opened ?? 0));
  return fitting[0]?.[0] ?? null;
}

/** Codes that the sealing named but that are no longer in the box, and the other way round. */
export function sealDrift(code: string): { readonly gone: readonly string[]; readonly extra: readonly string[] } {
  const sealed = state.value.box.get(code)?.sealed?.cores;
  if (sealed === undefined) return { gone: [], extra: [] };
  const now = thingsAt(code);
  return { gone: sealed.filter((c) => !now.includes(c)), extra: now.filter((c) => !sealed.includes(c)) };
}

function countsInBoxes(): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const thing of state.value.thing.values()) {
    for (const to of new Set(Object.values(thing.heads).map((h) => h.to))) {
      if (to.startsWith("B")) counts.set(to, (counts.get(to) ?? 0) + 1);
    }
  }
  return counts;
}

const groupPlace = (place: string): string => (/^[A-Z]/.test(place) ? `in ${groupCode(place)}` : place);

/** Suppliers to choose from: the catalogue's, and any that a tagged or received thing names. */
export function suppliersKnown(): readonly { readonly id: string; readonly name: string }[] {
  const ids = new Set((catalogue().suppliers ?? []).map((s) => s.id));
  for (const thing of state.value.thing.values()) if (thing.supplier !== null) ids.add(thing.supplier);
  return [...ids].map((id) => ({ id, name: supplierName(id) })).sort((a, b) => a.name.localeCompare(b.name));
}
