/** The long form of the repair record: all that the shop knows of a job. The server draws the same as PDF. */
import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import { procedure, supplierName } from "../facts/catalogue.ts";
import { staffName } from "../facts/people.ts";
import type { Job, Try } from "../fold/state.ts";
import { isSlug } from "../problem.ts";
import { testPoints } from "../tables/testPoints.ts";
import { problems } from "../tables.ts";
import { entryWord } from "../words/entries.ts";
import { dayTime, groupCode, upper } from "../words/format.ts";
import { channelWords, stopName, toldWords } from "../words/told.ts";
import { lossWords } from "./record.ts";

export type RecordPart = {
  readonly title: string;
  /** What is told, and what of it. */
  readonly facts: readonly (readonly [string, string])[];
  readonly lines: readonly string[];
};

/** Headings in the order of the paper; one with nothing under it is left out. */
export function shopParts(job: Job): readonly RecordPart[] {
  return [
    lines(
      "Our own incidents",
      Object.entries(job.incidents).flatMap(([id, incident]) => incidentWords(job, id, incident)),
    ),
    lines("The complaint, asked", complaintWords(job)),
    facts("Fasteners", ledger(job)),
    lines(
      "Lost or broken",
      job.losses.map((loss) => `${lossWords(job, loss)}. ${loss.why} (${by(loss)})`),
    ),
    facts("Connectors", connectors(job)),
    facts(
      "Units of the new part",
      Object.keys(job.parts).map((code) => [groupCode(code), partWords(code)]),
    ),
    lines("Tries before fitting", job.tries.map(tryWords)),
    facts(
      "Old parts",
      Object.entries(job.cores).map(([code, core]) => [groupCode(code), core.name]),
    ),
    lines(
      "Lock",
      job.lock_changes.map((change) => `${change.lock}: ${change.why ?? "not said"} (${by(change)})`),
    ),
    lines(
      "Tested after closing",
      job.rechecks.map((again) => `Works still: ${again.points.map(pointName).join(", ")} (${by(again)})`),
    ),
    lines(
      "Notes",
      job.notes.map((note) => `${note.note} (${by(note)})`),
    ),
    lines(
      "Stops lifted",
      job.lifts.map(
        (lift) => `${stopName(lift.reason)}, ${entryWord("lift_plan", lift.plan)}: ${lift.why} (${by(lift)})`,
      ),
    ),
    lines("Told when handed out with an unsafe battery", job.owner_told === null ? [] : [job.owner_told]),
    lines(
      "Told",
      job.told.map((told) => `${toldWords(told.what)}, ${channelWords(told.channel)} (${by(told)})`),
    ),
    facts(
      "Broken rules",
      job.findings.map((found) => [ruleName(found.slug), `entry ${found.event}`]),
    ),
  ].filter((part) => part.facts.length + part.lines.length > 0);
}

const facts = (title: string, rows: RecordPart["facts"]): RecordPart => ({ title, facts: rows, lines: [] });
const lines = (title: string, rows: readonly string[]): RecordPart => ({ title, facts: [], lines: rows });

function ledger(job: Job): RecordPart["facts"] {
  const groups = procedure(job.procedure, job.revision)?.fasteners ?? [];
  return Object.entries(job.ledger).map(([id, { out = 0, back = 0, lost = 0, replaced = 0 }]) => {
    const counts = [
      `out ${out}`,
      `back in ${back}`,
      lost > 0 && `lost ${lost}`,
      replaced > 0 && `replaced ${replaced}`,
    ];
    return [groups.find((g) => g.id === id)?.name ?? id, counts.filter((words) => words !== false).join(", ")];
  });
}

function connectors(job: Job): RecordPart["facts"] {
  const known = procedure(job.procedure, job.revision)?.connectors ?? [];
  return Object.entries(job.connectors).map(([id, { out = 0, back = 0 }]) => [
    known.find((c) => c.id === id)?.name ?? id,
    `unplugged ${out}, plugged in ${back}`,
  ]);
}

function partWords(code: string): string {
  const thing = state.value.thing.get(code);
  if (thing === undefined) return "";
  const lot = thing.lot === null ? null : `lot ${thing.lot}`;
  const verdict = thing.verdict === null ? null : entryWord("verdict", thing.verdict);
  return [thing.name, lot, supplierName(thing.supplier), verdict].filter((words) => words !== null).join(", ");
}

function tryWords(one: Try): string {
  const failed = one.failed.map(pointName);
  const outcome = `${recordTable.results[one.outcome]}${failed.length === 0 ? "" : `: ${failed.join(", ")}`}`;
  const unit = one.part === null ? "" : `, unit ${groupCode(one.part)}`;
  return `Try ${one.try}, ${entryWord("try_action", one.action)}${unit}: ${outcome} (${by(one)})`;
}

/** What, where, whether it was looked at, the note; then what a lead settled. */
function incidentWords(job: Job, id: string, incident: Job["incidents"][string]): readonly string[] {
  const { what, where, looked, points, note } = incident;
  const said = [
    `${entryWord("incident", what)}: ${where}`,
    looked === "yes" ? "hole and board looked at" : "hole and board not looked at",
    ...(points.length === 0 ? [] : [points.map(pointName).join(", ")]),
    ...(note === null ? [] : [note]),
  ];
  const settled = job.settlements[id];
  return [
    `${upper(said.join("; "))} (${by(incident)})`,
    settled === undefined
      ? "Not settled by a lead yet"
      : `Owed: ${entryWord("owed", settled.owed)}. ${settled.say} (${by(settled)})`,
  ];
}

/** The answers to whether the complaint is cured, before fitting and at each final test. */
const complaintWords = (job: Job): readonly string[] =>
  Object.entries(job.complaint_checks).map(([at, check]) => {
    const [stage = "", round = ""] = at.split("/");
    const note = check.note === null ? "" : `. ${check.note}`;
    return `${upper(stage === "final" ? `at final test ${round}` : `at try ${round}`)}: cured ${entryWord("cured", check.cured)}${note} (${by(check)})`;
  });

const ruleName = (slug: string): string => (isSlug(slug) ? problems[slug].title : slug);
const by = (at: { readonly staff: string | null; readonly at_ms: number }): string =>
  `${staffName(at.staff)}, ${dayTime(at.at_ms)}`;

const pointName = (point: string): string => testPoints[point]?.name ?? point;
