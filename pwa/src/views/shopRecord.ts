/** The long form of the repair record: all that the shop knows of a job. The server draws the same as PDF. */
import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import type { Job, Try } from "../fold/state.ts";
import { isSlug } from "../problem.ts";
import { testPoints } from "../tables/testPoints.ts";
import { problems } from "../tables.ts";
import { dayTime, groupCode } from "../ui/format.ts";
import { procedure, supplierName } from "./catalogue.ts";
import { staffName } from "./people.ts";
import { lossWords } from "./record.ts";
import { channelWords, toldWords } from "./status.ts";

export type RecordPart = {
  readonly title: string;
  /** What is told, and what of it. */
  readonly facts: readonly (readonly [string, string])[];
  readonly lines: readonly string[];
};

/** Headings in the order of the paper; one with nothing under it is left out. */
export function shopParts(job: Job): readonly RecordPart[] {
  return [
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
      "Notes",
      job.notes.map((note) => `${note.note} (${by(note)})`),
    ),
    lines(
      "Stops lifted",
      job.lifts.map((lift) => `${lift.why} (${by(lift)})`),
    ),
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
  const verdict = thing.verdict === "doa" ? "DOA" : thing.verdict;
  return [thing.name, lot, supplierName(thing.supplier), verdict].filter((words) => words !== null).join(", ");
}

const ACTIONS: Readonly<Record<Try["action"], string>> = {
  first: "first",
  reseat: "reseated",
  second_unit: "another unit",
};

function tryWords(one: Try): string {
  const failed = one.failed.map((point) => testPoints[point]?.name ?? point);
  const outcome = `${recordTable.results[one.outcome]}${failed.length === 0 ? "" : `: ${failed.join(", ")}`}`;
  return `Try ${one.try}, ${ACTIONS[one.action]}, unit ${groupCode(one.part)}: ${outcome} (${by(one)})`;
}

const ruleName = (slug: string): string => (isSlug(slug) ? problems[slug].title : slug);
const by = (at: { readonly staff: string | null; readonly at_ms: number }): string =>
  `${staffName(at.staff)}, ${dayTime(at.at_ms)}`;
