/** What the shop's form of a record has beside the customer's: its ledger, units, tries, notes and every entry. */
import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { procedure, supplierName } from "../facts/catalogue.ts";
import { said } from "../facts/texts.ts";
import type { Job, Try } from "../fold/state.ts";
import { isSlug } from "../problem.ts";
import { problems } from "../tables.ts";
import { groupCode, upper } from "../words/format.ts";
import { stopName, toldWords } from "../words/told.ts";
import { valueWord } from "../words/values.ts";
import { remarks, sentence } from "./history.ts";
import type { Fact, Part } from "./record.ts";
import { lossWords } from "./recordFound.ts";
import { by, line, moment, pointNames, who } from "./recordWords.ts";
import { jobChecks } from "./staticChecks.ts";

const { headings } = recordTable;

/** Headings in the order of the paper; one with nothing under it is left out. */
export function longParts(code: string, job: Job, events: readonly Event[]): readonly Part[] {
  return [
    lines("incidents", incidents(job)),
    lines("complaint", complaint(job)),
    facts("fasteners", ledger(job)),
    lines(
      "losses",
      job.losses.map((loss) => signed(loss, `${lossWords(job, loss)}. ${said(loss.why)}`)),
    ),
    facts("connectors", connectors(job)),
    facts(
      "parts",
      Object.keys(job.parts).map((part) => [groupCode(part), unit(part)]),
    ),
    lines(
      "tries",
      job.tries.map((one) => signed(one, tryWords(one))),
    ),
    facts(
      "cores",
      Object.entries(job.cores).map(([core, { name }]) => [groupCode(core), name]),
    ),
    lines(
      "lock",
      job.lock_changes.map((change) =>
        signed(change, `${valueWord("lock", change.lock)}: ${said(change.why) ?? line("not_said")}`),
      ),
    ),
    lines(
      "rechecks",
      job.rechecks.map((again) => signed(again, line("recheck", { names: pointNames(again.points) }))),
    ),
    lines(
      "notes",
      job.notes.map((note) => signed(note, said(note.note))),
    ),
    lines(
      "lifts",
      job.lifts.map((lift) =>
        signed(lift, `${stopName(lift.reason)}, ${valueWord("lift_plan", lift.plan)}: ${said(lift.why)}`),
      ),
    ),
    lines("owner_told", job.owner_told === null ? [] : [said(job.owner_told)]),
    lines(
      "told",
      job.told.map((told) => signed(told, `${toldWords(told.what)}, ${valueWord("channel", told.channel)}`)),
    ),
    facts(
      "findings",
      job.findings.map((found) => [ruleName(found.slug), line("entry", { event: found.event })]),
    ),
    facts(
      "checks",
      jobChecks(job, events).map(({ about, says }) => [about, says]),
    ),
    facts("entries", entries(code, events)),
  ].filter((part) => part.facts.length + part.lines.length > 0);
}

type Heading = keyof typeof headings;
const facts = (name: Heading, rows: readonly Fact[]): Part => ({ title: headings[name], facts: rows, lines: [] });
const lines = (name: Heading, rows: readonly string[]): Part => ({ title: headings[name], facts: [], lines: rows });

const signed = (at: { readonly staff: string | null; readonly at_ms: number }, text: string): string =>
  `${text} (${by(at)})`;

/** What, where, whether it was looked at, the note; then what a lead settled. */
const incidents = (job: Job): readonly string[] =>
  Object.entries(job.incidents).flatMap(([id, incident]) => {
    const told = [
      `${upper(valueWord("incident", incident.what))}: ${said(incident.where)}`,
      line(incident.looked === "yes" ? "looked" : "not_looked"),
      pointNames(incident.points),
      said(incident.note) ?? "",
    ];
    const settled = job.settlements[id];
    return [
      signed(incident, told.filter((words) => words !== "").join("; ")),
      settled === undefined
        ? line("unsettled")
        : signed(settled, line("settled", { owed: valueWord("owed", settled.owed), say: said(settled.say) })),
    ];
  });

/** The answers to whether the complaint is cured, before fitting and at each final test. */
const complaint = (job: Job): readonly string[] =>
  Object.entries(job.complaint_checks).map(([at, check]) => {
    const [stage, number = ""] = at.split("/");
    const gaps = { number, cured: valueWord("cured", check.cured) };
    const asked = line(stage === "final" ? "asked_final" : "asked_prefit", gaps);
    return signed(check, check.note === null ? asked : `${asked}. ${said(check.note)}`);
  });

/** What went out and came back is always told, also when it is none. */
function ledger(job: Job): readonly Fact[] {
  const groups = procedure(job.procedure, job.revision)?.fasteners ?? [];
  return Object.entries(job.ledger).map(([id, { out = 0, back = 0, lost = 0, replaced = 0 }]) => {
    const counts = [
      line("out", { count: out }),
      line("back", { count: back }),
      ...(lost > 0 ? [line("lost", { count: lost })] : []),
      ...(replaced > 0 ? [line("replaced_count", { count: replaced })] : []),
    ];
    return [groups.find((g) => g.id === id)?.name ?? id, counts.join(", ")];
  });
}

function connectors(job: Job): readonly Fact[] {
  const known = procedure(job.procedure, job.revision)?.connectors ?? [];
  return Object.entries(job.connectors).map(([id, { out = 0, back = 0 }]) => [
    known.find((c) => c.id === id)?.name ?? id,
    line("connector", { out, back }),
  ]);
}

function unit(code: string): string {
  const thing = state.value.thing.get(code);
  if (thing === undefined) return "";
  const { name, lot, supplier, verdict } = thing;
  return [
    name,
    lot === null ? null : line("lot", { lot }),
    supplier === null ? null : supplierName(supplier),
    verdict === null ? null : valueWord("verdict", verdict),
  ]
    .filter((words) => words !== null)
    .join(", ");
}

function tryWords(one: Try): string {
  const failed = one.failed.length === 0 ? "" : `: ${pointNames(one.failed)}`;
  const gaps = {
    number: one.try,
    action: valueWord("try_action", one.action),
    outcome: `${valueWord("outcome", one.outcome)}${failed}`,
  };
  return one.part === null ? line("try", gaps) : line("try_unit", { ...gaps, unit: groupCode(one.part) });
}

const ruleName = (slug: string): string => (isSlug(slug) ? problems[slug].title : slug);

/** Every event of the job: when and who, and what. */
const entries = (code: string, events: readonly Event[]): readonly Fact[] =>
  events.map((event) => [
    `${moment(event.at_ms)}, ${who(event.staff)}`,
    [sentence(event, code), ...remarks(event).map((remark) => `“${remark}”`)].join(" "),
  ]);
