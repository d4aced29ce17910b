/** Whose fault a failed point is. */
import attributionTable from "@shared/attribution.json";

export type AttributionRow = {
  readonly intake?: readonly string[];
  readonly prefit?: readonly string[];
  readonly final?: readonly string[];
  readonly verdict: string;
};
export type Verdict = {
  readonly name: string;
  readonly owner: string;
  readonly blocks_ready: boolean;
  readonly say: string;
};
export const attributionRows = attributionTable.rows as readonly AttributionRow[];
export const verdicts = attributionTable.verdicts as Readonly<Record<string, Verdict>>;
