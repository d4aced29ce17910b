/** New parts: receiving them from a supplier, and what a lead says of their batteries. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { ShippingCaution } from "../events/kinds.gen.ts";
import { isLead } from "../facts/people.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { hasBattery } from "../rules/battery.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

export type Received = {
  readonly name: string;
  readonly part_kind: string;
  readonly supplier: string;
  readonly lot: string;
  /** Null as long as nobody said whether it is or holds a battery. */
  readonly shipping_caution: ShippingCaution | null;
  /** Null when it is not known. */
  readonly energy_mwh: number | null;
};

/** Most units received with one press: each gets its own label. */
export const MOST_UNITS = 50;

/** Receive units of one lot onto the shelf; `given` is the code of a label that one unit carries already. Codes on return. */
export const receiveParts = onePress(
  async (given: string | null, part: Received, units: number | null): Promise<Result<readonly string[]>> => {
    const { part_kind, supplier, shipping_caution } = part;
    const [name, lot] = [part.name.trim(), part.lot.trim()];
    if (name === "" || part_kind === "" || supplier === "" || lot === "" || shipping_caution === null)
      return refuse("field-missing", missing(part));
    const isCharged = hasBattery(shipping_caution) && part.energy_mwh !== null;
    const about = {
      ...{ name, part_kind, supplier, lot, shipping_caution },
      ...(isCharged ? { energy_mwh: part.energy_mwh as number } : {}),
    };
    if (units === null || units < 1 || units > MOST_UNITS)
      return refuse("field-missing", `Type how many, from 1 to ${MOST_UNITS}.`);
    if (given !== null && state.value.thing.get(given)?.name != null) return refuse("part-known", given);
    const codes: string[] = [];
    const written = await act((pen) =>
      Array.from({ length: given === null ? units : 1 }, () => given ?? pen.mint("P")).flatMap((code) => {
        codes.push(code);
        return [{ kind: "part.received" as const, body: { part: code, ...about } }, moved(code, "shelf")];
      }),
    );
    return written.ok ? ok(codes) : written;
  },
);

function missing(part: Received): string {
  if (part.part_kind === "") return "Choose what part it is.";
  if (part.name.trim() === "") return "Give the part a name.";
  if (part.supplier === "") return "Choose the supplier.";
  if (part.lot.trim() === "") return "Scan or type the lot from the packaging.";
  return "Say whether it is or holds a battery.";
}

/** A lead says what a part or an old part is, battery-wise. `lead-only`, `why-missing`, `code-unknown`. */
export const setCaution = onePress(
  async (thing: string, shipping_caution: ShippingCaution, why: string): Promise<Result<readonly Event[]>> => {
    if (!isLead()) return refuse("lead-only");
    if (state.value.thing.get(thing)?.name == null) return refuse("code-unknown", thing);
    if (why.trim() === "") return refuse("why-missing");
    return act(() => [{ kind: "caution.set", body: { thing, shipping_caution, why: why.trim() } }]);
  },
);
