/** What the three results of a test point mean together (shared/attribution.json; common practice, no source). */
import { attributionRows } from "../tables/attribution.ts";

export type Seen = "pass" | "fail" | "cannot" | "none";

/** The verdict id for three results. */
export function attribute(intake: Seen, prefit: Seen, final: Seen): string {
  const fits = (allowed: readonly string[] | undefined, value: Seen) =>
    allowed === undefined || allowed.includes(value);
  const row = attributionRows.find((r) => fits(r.intake, intake) && fits(r.prefit, prefit) && fits(r.final, final));
  if (row === undefined) throw new Error("the last row fits anything");
  return row.verdict;
}
