/** New trays: each gets a code for good, and begins on the shelf. */
import { ok, type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

/** Most trays labelled with one press. */
export const MOST_TRAYS = 24;

/** Make trays. Their codes on return. `field-missing`. */
export const makeTrays = onePress(async (count: number | null): Promise<Result<readonly string[]>> => {
  if (count === null || count < 1 || count > MOST_TRAYS)
    return refuse("field-missing", `Type how many, from 1 to ${MOST_TRAYS}.`);
  const codes: string[] = [];
  const written = await act((pen) =>
    Array.from({ length: count }, () => {
      const code = pen.mint("T");
      codes.push(code);
      return moved(code, "shelf");
    }),
  );
  return written.ok ? ok(codes) : written;
});
