/** What came of a job in words (shared/record.json), and what went wrong in the shop's own work. */
import recordTable from "@shared/record.json";
import { said } from "../facts/texts.ts";
import type { Job } from "../fold/state.ts";
import { type Outcome, outcome, reasonTold } from "../rules/outcome.ts";
import { testPoints } from "../tables/testPoints.ts";
import { stages, stopReasons } from "../tables.ts";

export type OutcomeWords = {
  readonly name: string;
  readonly say: string;
  /** Behind the name of the stage. */
  readonly tail?: string;
  /** The sentence says more than the name. */
  readonly says_more?: boolean;
};
const OUTCOMES: Readonly<Record<Outcome, OutcomeWords>> = recordTable.outcomes;
const REASONS: Readonly<Record<string, string>> = recordTable.reasons;
const { incidents: INCIDENTS } = recordTable;
export const INCIDENT_TITLE = INCIDENTS.title;

export const outcomeWords = (job: Job): OutcomeWords => OUTCOMES[outcome(job)];

/** Why it was stopped, as the customer is told; null where there is no stop, or the outcome says it. */
export function reasonWords(job: Job): string | null {
  const reason = reasonTold(job);
  if (reason === null) return null;
  return REASONS[reason] ?? stopReasons[reason]?.customer ?? stages.stopped.customer;
}

/** What stands under the outcome's name on a record. */
export function outcomeLines(job: Job): readonly string[] {
  const { say, says_more } = outcomeWords(job);
  return [says_more === true ? say : null, reasonWords(job)].filter((line) => line !== null);
}

/** What went wrong in our work, in the customer's words: what, where, which points, what is owed and what was said. */
export const incidentLines = (job: Job): readonly string[] =>
  Object.entries(job.incidents).map(([id, { what, where, points }]) => {
    const settled = job.settlements[id];
    const names = points.map((point) => testPoints[point]?.name ?? point).join(", ");
    return [
      `${INCIDENTS[what]}: ${said(where)}.`,
      points.length > 0 ? INCIDENTS.points.replace("{names}", names) : "",
      settled === undefined ? INCIDENTS.open : INCIDENTS.owed.replace("{owed}", recordTable.owed[settled.owed]),
      settled === undefined ? "" : `“${said(settled.say)}”`,
    ]
      .filter((sentence) => sentence !== "")
      .join(" ");
  });
