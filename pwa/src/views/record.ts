/**
 * The repair record as a customer may read it: built from what is theirs, not by taking things out. The server draws the
 * same as PDF (server/traymark/views/record.py); the words are those of record.json.
 */
import recordTable from "@shared/record.json";
import { consentTitle } from "../facts/agreement.ts";
import { procedure } from "../facts/catalogue.ts";
import type { Job, Loss, TestStage } from "../fold/state.ts";
import type { Seen } from "../rules/attribution.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { isLocked } from "../rules/locked.ts";
import { outcome } from "../rules/outcome.ts";
import { finalRound, notShown } from "../rules/tests.ts";
import { testPoints } from "../tables/testPoints.ts";
import { MARK_NAMES, SIDE_NAMES } from "../words/marks.ts";
import { type ComparisonRow, compare, type EarlierRound, earlierRounds, isLacking } from "./comparison.ts";
import { incidentLines } from "./outcome.ts";

type Words = Readonly<Record<string, string>>;
const { verdicts, results, indicators, batteries, losses, rounds, locked, cautions, safety, agreed } =
  recordTable as unknown as Readonly<Record<string, Words>>;

export type RecordRow = {
  readonly point: string;
  readonly name: string;
  readonly results: readonly (readonly [Seen, string])[];
  readonly fails: boolean;
  readonly says: string;
};

export type CustomerRecord = {
  readonly cautions: readonly string[];
  /** What went wrong in our own work, and what is owed for it. */
  readonly ours: readonly string[];
  readonly condition: readonly string[];
  readonly agreed: readonly string[];
  readonly found: readonly string[];
  /** Of a device that stayed locked: so it was tested, and what therefore could not be shown. */
  readonly locked: readonly string[];
  /** Points that need a line of their own, failing ones first; not those that are named under `locked` or that the model has not. */
  readonly rows: readonly RecordRow[];
  /** What is said of several points that worked whenever they were tested, and their names. */
  readonly alike: readonly (readonly [string, readonly string[]])[];
  /** What earlier rounds of the final test said, after which the device was opened again. */
  readonly rounds: readonly string[];
  readonly photos: readonly string[];
};

/** The long form: every point in a line of its own, and every photo. */
export function fullRecord(job: Job): CustomerRecord {
  return { ...customerRecord(job), rows: compare(job).map(row), alike: [], photos: Object.keys(job.photos) };
}

export function customerRecord(job: Job): CustomerRecord {
  const barred = new Set(isLocked(job) ? notShown(job) : []);
  const rows = compare(job)
    .filter((r) => !isLacking(r))
    .map(row);
  const alike = alikeOf(rows);
  return {
    cautions: cautionsOf(job),
    ours: incidentLines(job),
    agreed: agreedOf(job),
    condition: Object.values(job.marks).map(
      (m) =>
        `${(MARK_NAMES as Words)[m.what] ?? m.what}, ${SIDE_NAMES[m.side].toLowerCase()}${m.note === null ? "" : `: ${m.note}`}`,
    ),
    found: foundOf(job),
    locked: lockedOf(job),
    rows: rows.filter((r) => alike.get(r.says)?.includes(r.name) !== true && !(barred.has(r.point) && isUnknown(r))),
    alike: [...alike],
    rounds: roundsOf(job),
    photos: CUSTOMER_USES.flatMap((use) => Object.keys(job.photos).filter((hash) => job.photos[hash]?.use === use)),
  };
}

const STAGES: readonly TestStage[] = ["intake", "prefit", "final"];
/** Photos that show the device; the others show the shop's own work. */
const CUSTOMER_USES = ["intake", "mark", "liquid", "battery", "repair"];
/** Fewer are told one by one. */
const LEAST_ALIKE = 3;

function row(r: ComparisonRow): RecordRow {
  const why = [...STAGES].reverse().find((stage) => r.seen[stage] === "cannot" && r.why[stage] !== null);
  const said = verdicts?.[verdictOf(r)] ?? "";
  return {
    point: r.point,
    name: r.name,
    results: STAGES.map((stage) => [r.seen[stage], results?.[r.seen[stage]] ?? ""]),
    fails: r.fails,
    says: why === undefined ? said : `${said} ${r.why[why]}`,
  };
}

/** As the bench has it; what was not tested again still has its first result. */
function verdictOf(r: ComparisonRow): string {
  if (r.verdict !== "open") return r.verdict;
  return r.seen.intake === "pass" ? "open_worked" : r.seen.intake === "fail" ? "open_failed" : "open";
}

function alikeOf(rows: readonly RecordRow[]): ReadonlyMap<string, readonly string[]> {
  const names = new Map<string, string[]>();
  for (const r of rows) {
    if (r.results.every(([seen]) => seen === "pass" || seen === "none"))
      names.set(r.says, [...(names.get(r.says) ?? []), r.name]);
  }
  return new Map([...names].filter(([, points]) => points.length >= LEAST_ALIKE));
}

export const LOCKED_TITLE = locked?.title ?? "";

/** Never tested with an outcome, at any stage. */
const isUnknown = (r: RecordRow): boolean => r.results.every(([seen]) => seen === "cannot" || seen === "none");

function lockedOf(job: Job): readonly string[] {
  if (!isLocked(job)) return [];
  const names = notShown(job).map((point) => testPoints[point]?.name ?? point);
  const said = names.length === 0 ? [] : [(locked?.not_shown ?? "").replace("{names}", names.join(", "))];
  return [(job.lock_changes.length > 0 ? locked?.changed : locked?.kept) ?? "", ...said];
}

export const ROUNDS_TITLE = rounds?.title ?? "";

function roundsOf(job: Job): readonly string[] {
  const earlier = earlierRounds(job);
  if (earlier.length === 0) return [];
  return [filled("now", { round: finalRound(job) }), ...earlier.map(roundWords)];
}

function roundWords({ round, works, fails, cannot }: EarlierRound): string {
  const said = [
    works > 0 ? filled("works", { count: works }) : null,
    fails.length > 0 ? filled("fails", { names: fails.join(", ") }) : null,
    cannot.length > 0 ? filled("cannot", { names: cannot.join(", ") }) : null,
  ];
  return `${filled("before", { round })}: ${said.filter((words) => words !== null).join("; ")}.`;
}

const filled = (name: string, gaps: Readonly<Record<string, string | number>>): string =>
  (rounds?.[name] ?? "").replace(/\{(\w+)\}/g, (_, gap: string) => String(gaps[gap]));

function cautionsOf(job: Job): readonly string[] {
  const opened = [job.steps, job.ledger, job.connectors].some((done) => Object.keys(done).length > 0);
  const wet = job.liquid.some(isWet) || job.safety.some((check) => check.wet === "yes");
  // A lead let work go on, so somebody has dried and looked at it.
  const workedOn = job.stop === null && job.wet_lifted === true;
  const holds: readonly (readonly [string, boolean])[] = [
    ["battery", isCellUnsafe(job)],
    ["battery_out", outcome(job) === "no_battery"],
    ["liquid", wet && !workedOn],
    ["liquid_lifted", wet && workedOn],
    ["opened", opened],
  ];
  return holds.filter(([, there]) => there).map(([id]) => cautions?.[id] ?? "");
}

function foundOf(job: Job): readonly string[] {
  return [
    ...job.safety.flatMap(safetyWords),
    ...job.liquid.map((check) =>
      isWet(check)
        ? `Signs of liquid: ${[`indicator ${indicators?.[check.indicator]}`, ...check.signs].join(", ")}`
        : "No sign of liquid",
    ),
    ...batteryOf(job),
    ...job.losses.map((loss) => lossWords(job, loss)),
  ];
}

/** What was looked at before any test; nothing where all was well. */
export function safetyWords(check: Job["safety"][number]): readonly string[] {
  const seen = (["wet", "bulging", "hot"] as const).filter((question) => check[question] === "yes");
  return seen.map((question) => `${safety?.[question]} ${safety?.[check.at]}`);
}

/** States of the battery as they were found, and that an unsafe one was taken out. */
function batteryOf(job: Job): readonly string[] {
  const found = job.power.filter((check) => check.battery !== "sound").map((check) => check.battery as string);
  const { cell } = job;
  const last = cell === null || cell === "sound" || cell === "out" || found.includes(cell) ? [] : [cell];
  const states = [...found, ...last].map((state) => `Battery ${batteries?.[state]}`);
  return cell === "out" ? [...states, safety?.out ?? ""] : states;
}

export const AGREED_TITLE = agreed?.title ?? "";

function agreedOf(job: Job): readonly string[] {
  const said = job.consents.length === 0 ? [] : [`${job.consents.map(consentTitle).join(". ")}.`];
  return job.terms === null ? said : [...said, (agreed?.terms ?? "").replace("{terms}", String(job.terms))];
}

/** One loss in a line. */
export function lossWords(job: Job, loss: Loss): string {
  const group = procedure(job.procedure, job.revision)?.fasteners.find((f) => f.id === loss.group)?.name ?? "screw";
  const by = loss.replaced > 0 && loss.replaced_by !== null ? ` by ${loss.replaced_by}` : "";
  const again = loss.replaced > 0 ? `${loss.replaced} replaced${by}` : "not replaced";
  return `${loss.count} × ${group} ${losses?.[loss.what]}, ${again}`;
}

const isWet = (check: Job["liquid"][number]): boolean =>
  check.signs.length > 0 || check.indicator === "tinged" || check.indicator === "red";
