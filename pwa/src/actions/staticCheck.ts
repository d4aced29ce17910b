/** Writing a static check: the wrist strap of the person signed on, or the mat of this station's bench. */
import type { Event } from "../events/envelope.ts";
import { type Result, refuse } from "../problem.ts";
import { esdChecks, type Item, type OhmUnit, readOhms } from "../rules/esd.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";

/** The measured resistance, pass or fail. `bad-field` when it is no number. */
export const checkStatic = onePress(
  async (item: Item, measured: string, unit: OhmUnit): Promise<Result<readonly Event[]>> => {
    const ohms = readOhms(measured, unit);
    if (ohms === null) return refuse("bad-field", "The measured resistance, for example 1.2 M.");
    const reading = { ohms, limit_ohms: esdChecks[item].below_ohms };
    return act(() => [
      item === "mat" ? { kind: "mat.checked", body: reading } : { kind: "strap.checked", body: { item, ...reading } },
    ]);
  },
);
