/** Writing the daily static check of the person signed on. */
import type { Event } from "../events/envelope.ts";
import { type Result, refuse } from "../problem.ts";
import { type OhmUnit, readOhms, STRAP_LIMIT_OHMS } from "../rules/strap.ts";
import { act } from "./act.ts";

/** The measured resistance of the wrist strap, pass or fail. `bad-field` when it is no number. */
export async function checkStrap(measured: string, unit: OhmUnit): Promise<Result<readonly Event[]>> {
  const ohms = readOhms(measured, unit);
  if (ohms === null) return refuse("bad-field", "The measured resistance, for example 1.2 M.");
  return act(() => [{ kind: "strap.checked", body: { item: "wrist_strap", ohms, limit_ohms: STRAP_LIMIT_OHMS } }]);
}
