/** Receiving new parts from a supplier. */
import { state } from "../current.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

export type Received = {
  readonly name: string;
  readonly part_kind: string;
  readonly supplier: string;
  readonly lot: string;
};

/** Most units received with one press: each gets its own label. */
export const MOST_UNITS = 50;

/** Receive units of one lot onto the shelf; `given` is the code of a label that one unit carries already. Codes on return. */
export const receiveParts = onePress(
  async (given: string | null, part: Received, units: number | null): Promise<Result<readonly string[]>> => {
    const { name, part_kind, supplier, lot } = { ...part, name: part.name.trim(), lot: part.lot.trim() };
    if (name === "" || part_kind === "" || supplier === "" || lot === "") return refuse("field-missing", missing(part));
    if (units === null || units < 1 || units > MOST_UNITS)
      return refuse("field-missing", `Type how many, from 1 to ${MOST_UNITS}.`);
    if (given !== null && state.value.thing.get(given)?.name != null) return refuse("part-known", given);
    const codes: string[] = [];
    const written = await act((pen) =>
      Array.from({ length: given === null ? units : 1 }, () => given ?? pen.mint("P")).flatMap((code) => {
        codes.push(code);
        return [
          {
            kind: "part.received" as const,
            body: { part: code, name, part_kind, supplier, lot, shipping_caution: "none" },
          },
          moved(code, "shelf"),
        ];
      }),
    );
    return written.ok ? ok(codes) : written;
  },
);

function missing(part: Received): string {
  if (part.part_kind === "") return "Choose what part it is.";
  if (part.name.trim() === "") return "Give the part a name.";
  if (part.supplier === "") return "Choose the supplier.";
  return "Scan or type the lot from the packaging.";
}
