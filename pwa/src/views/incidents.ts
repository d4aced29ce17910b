/** The choices of an incident, and the points it may have harmed. */
import recordTable from "@shared/record.json";
import type { Incident, Owed } from "../events/kinds.gen.ts";
import type { Job } from "../fold/state.ts";
import { pointsOf, verdictOf } from "../rules/tests.ts";
import { verdicts } from "../tables/attribution.ts";
import { testPoints } from "../tables/testPoints.ts";
import { enums } from "../tables.ts";
import { upper } from "../words/format.ts";

export const INCIDENTS = (enums.incident as readonly Incident[]).map((value) => ({
  value,
  name: recordTable.incidents[value],
}));

export const OWED = (enums.owed as readonly Owed[]).map((value) => ({ value, name: upper(recordTable.owed[value]) }));

/** Points that failed since intake by our own doing, as far as tests can say; they are offered first. */
export const likelyHarmed = (job: Job): readonly string[] =>
  pointsOf("final").filter((point) => verdicts[verdictOf(job, point)]?.owner === "ours");

/** The other points of the final test, to choose from. */
export const otherPoints = (
  job: Job,
  chosen: readonly string[],
): readonly { readonly value: string; readonly name: string }[] => {
  const shown = new Set([...likelyHarmed(job), ...chosen]);
  return pointsOf("final")
    .filter((point) => !shown.has(point))
    .map((point) => ({ value: point, name: testPoints[point]?.name ?? point }));
};
