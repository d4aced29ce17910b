/** Something that went wrong by the shop's own doing: noted by whoever sees it, settled by a lead. */
import { state } from "../current.ts";
import { newRef } from "../device/random.ts";
import type { Event } from "../events/envelope.ts";
import type { Incident, Owed, YesNo } from "../events/kinds.gen.ts";
import { isLead } from "../facts/people.ts";
import { type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

type Done = Promise<Result<readonly Event[]>>;

export type IncidentEntry = {
  readonly what: Incident | null;
  readonly where: string;
  /** Whether the hole and the board below it were looked at. */
  readonly looked: YesNo | null;
  readonly points: readonly string[];
  readonly note: string;
  readonly photos: readonly string[];
};

/** Note an incident. Its name is random: two stations may note one each. `code-unknown`, `answer-missing`. */
export const noteIncident = onePress(async (code: string, entry: IncidentEntry): Done => {
  if (!state.value.job.has(code)) return refuse("code-unknown", code);
  const { what, looked, points, photos } = entry;
  const [where, note] = [written(entry.where), written(entry.note)];
  if (what === null) return refuse("answer-missing", "What went wrong.");
  if (where === "") return refuse("answer-missing", "Where it is.");
  if (looked === null) return refuse("answer-missing", "Whether the place was looked at.");
  const said = note === "" ? {} : { note };
  const body = { incident: `i-${newRef()}`, what, where, looked, points, photos, ...said };
  return act(() => [{ kind: "incident.noted", job: code, body }]);
});

/** A lead decides what is owed, and writes what the customer was told. `lead-only`, `code-unknown`, `answer-missing`. */
export const settleIncident = onePress(async (code: string, incident: string, owed: Owed | null, say: string): Done => {
  const job = state.value.job.get(code);
  if (job?.incidents[incident] === undefined) return refuse("code-unknown", code);
  if (!isLead()) return refuse("lead-only");
  if (owed === null) return refuse("answer-missing", "What is owed.");
  const said = written(say);
  if (said === "") return refuse("answer-missing", "What the customer is told.");
  return act(() => [{ kind: "incident.settled", job: code, body: { incident, owed, say: said } }]);
});
