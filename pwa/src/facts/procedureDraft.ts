/** A draft of a procedure as its author sees it: faults and where they are, and the walk with the tray at each step. */
import cautionsTable from "@shared/cautions.json";
import faultsTable from "@shared/procedure_faults.json";
import { docs, state } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { inTray } from "../rules/ledger.ts";
import { derive, type Procedure, SECTIONS, type Section, type Step, writtenSteps } from "../rules/procedure.ts";
import { checkProcedure, type Fault } from "../rules/procedureCheck.ts";
import { fieldName, SECTION_NAMES } from "../rules/procedureDifference.ts";
import { tidied } from "../rules/procedureEdit.ts";
import { blankRecords } from "../tables.ts";
import { pointName } from "../words/points.ts";
import { procedures } from "./catalogue.ts";
import type { Bench } from "./work.ts";

/** The draft, and the revision that it began from; 0 when there is none. */
export type Draft = { readonly base: number; readonly procedure: Procedure };

export const draftName = (id: string): string => `procedure:${id}`;

/** Every kept revision of a procedure, the newest first. */
export function revisions(id: string): readonly Procedure[] {
  const found = [...docs.value.values()].flatMap((doc) => {
    const body = doc.kind === "procedure" ? (doc.body as Procedure | null) : null;
    return body !== null && body.id === id ? [body] : [];
  });
  return found.sort((a, b) => b.rev - a.rev);
}

/** The part of the editor where something is put right. */
export type Place =
  | { readonly part: "about" | "fasteners" | "connectors" | "pairs" }
  | { readonly part: "step"; readonly id: string }
  | { readonly part: "scene"; readonly id: string };

export const ABOUT: Place = { part: "about" };
export const samePlace = (one: Place, other: Place): boolean => JSON.stringify(one) === JSON.stringify(other);

export type FaultLine = {
  readonly slug: string;
  readonly title: string;
  readonly next: string;
  readonly detail: string;
  /** In words, such as "Way in, step 3: Lift the display". */
  readonly where: string;
  readonly place: Place;
};

type FaultText = { readonly title: string; readonly next: string };
const TEXTS = faultsTable.faults as Readonly<Record<string, FaultText>>;

/** The faults of a draft, each with where to put it right. */
export const faultLines = (procedure: Procedure): readonly FaultLine[] =>
  checkProcedure(tidied(procedure)).map((fault) => {
    const place = placeOf(fault, procedure);
    return { slug: fault.slug, ...textOf(fault, procedure), where: placeName(place, procedure), place };
  });

/** What a document of unknown origin lacks to be a procedure; null when it has the form. */
export function formlessText(document: unknown): string | null {
  const [first] = checkProcedure(document);
  return first?.slug === "not-in-form" ? formText(first.detail, null) : null;
}

function textOf(fault: Fault, procedure: Procedure): Pick<FaultLine, "title" | "next" | "detail"> {
  // The table's words are for people who write files by hand; here they have the form before them.
  if (fault.slug === "not-in-form") return { title: formText(fault.detail, procedure), next: "", detail: "" };
  const { title, next } = TEXTS[fault.slug] ?? { title: fault.slug, next: "" };
  return { title, next, detail: detailText(fault, procedure) };
}

/** Whether it can be walked through: everything it refers to exists. */
const UNWALKABLE: ReadonlySet<string> = new Set(["not-in-form", "group-unknown", "connector-unknown"]);
export const canWalk = (faults: readonly FaultLine[]): boolean => !faults.some((f) => UNWALKABLE.has(f.slug));

const PARTS: Readonly<Record<"about" | "fasteners" | "connectors" | "pairs", string>> = {
  about: "About",
  fasteners: "Fasteners",
  connectors: "Connectors",
  pairs: "Paired parts",
};

export function placeName(place: Place, procedure: Procedure): string {
  if (place.part === "scene") return `View: ${procedure.scenes?.[place.id]?.say ?? place.id}`;
  if (place.part !== "step") return PARTS[place.part];
  const found = sectionOf(procedure, place.id);
  if (found === null) return place.id;
  const { section, at, title } = found;
  return `${SECTION_NAMES[section]}, step ${at + 1}: ${title === "" ? "no title yet" : title}`;
}

/** The section of a step, and its place there. */
export function sectionOf(
  procedure: Procedure,
  id: string,
): { readonly section: Section; readonly at: number; readonly title: string } | null {
  for (const section of SECTIONS) {
    const at = procedure[section].findIndex((row) => row.id === id);
    if (at !== -1) return { section, at, title: procedure[section][at]?.title ?? "" };
  }
  return null;
}

const GATE_FAULTS: ReadonlySet<string> = new Set(["liquid-missing", "prefit-missing"]);

function placeOf(fault: Fault, procedure: Procedure): Place {
  const rows = writtenSteps(procedure);
  const step = rows.find((row) => row.id === fault.step || `${row.id}-back` === fault.step);
  if (step !== undefined) return { part: "step", id: step.id };
  if (fault.slug === "recheck-idle" || fault.detail.startsWith("recheck: ")) return ABOUT;
  if (fault.slug === "not-in-form") return placeOfPointer(fault.detail, procedure);
  if (fault.slug.startsWith("pair")) return { part: "pairs" };
  if (fault.slug.startsWith("connector") || fault.slug === "power-missing") return { part: "connectors" };
  if (fault.slug.startsWith("drawing")) return sceneWith(fault, procedure);
  const [first] = procedure.in;
  if (GATE_FAULTS.has(fault.slug) && first !== undefined) return { part: "step", id: first.id };
  return { part: "fasteners" };
}

/** Views are checked before steps, in the order of their names, and their faults name no step. */
function sceneWith(fault: Fault, procedure: Procedure): Place {
  const [kind, name] = fault.detail.split(" ");
  const names = Object.keys(procedure.scenes ?? {}).sort();
  const id = names.find((each) =>
    procedure.scenes?.[each]?.shapes.some(
      (shape) =>
        kind === "shape" || (kind !== undefined && (shape as Readonly<Record<string, unknown>>)[kind] === name),
    ),
  );
  return id === undefined ? ABOUT : { part: "scene", id };
}

/** Where the member is written that a JSON Pointer names. */
function placeOfPointer(detail: string, procedure: Procedure): Place {
  const [, member = "", key = ""] = (detail.split(" ")[0] ?? "").split("/");
  if (member === "in" || member === "turn" || member === "closing") {
    const id = procedure[member][Number(key)]?.id;
    if (key !== "" && id !== undefined) return { part: "step", id };
  }
  if (member === "scenes") return { part: "scene", id: key };
  return member === "fasteners" || member === "connectors" || member === "pairs" ? { part: member } : ABOUT;
}

const CAUTIONS = cautionsTable.cautions as Readonly<Record<string, { readonly name: string }>>;

/** A fault's detail with names in place of ids, and numbers with their unit. */
function detailText({ slug, detail }: Fault, procedure: Procedure): string {
  const [id = "", what = ""] = detail.split(": ");
  if (slug === "caution-missing") return `${CAUTIONS[id]?.name ?? id}, since it says “${what}”`;
  if (slug === "heat-unmeasured" || slug === "solvent-undescribed") return `it says “${detail}”`;
  if (slug === "heat-with-solvent") return detail;
  if (slug === "recheck-idle") return detail.split(", ").map(pointName).join(", ");
  if (slug === "length-implausible") return `${inNames(id, procedure)}: ${Number(what) / 1000} mm`;
  return inNames(detail, procedure);
}

function inNames(detail: string, procedure: Procedure): string {
  const names = new Map<string, string>([
    ...writtenSteps(procedure).map((row) => [row.id, row.title] as const),
    ...procedure.pairs.map((row) => [row.id, row.name] as const),
    ...procedure.connectors.map((row) => [row.id, row.name] as const),
    ...procedure.fasteners.map((row) => [row.id, row.name] as const),
  ]);
  return detail.replace(/[a-z][a-z0-9_-]*/g, (word) => names.get(word) || word);
}

/** What the form lacks, such as "Drive of Bottom screws is not filled in". */
function formText(detail: string, procedure: Procedure | null): string {
  const [, pointer = "", what = ""] = /^(\/\S*) (.*)$/.exec(detail) ?? [];
  const members = pointer.split("/").filter((member) => member !== "");
  const named = members.filter((member) => !/^[0-9]+$/.test(member));
  const last = named.at(-1);
  const lacks = /^lacks (.*)$/.exec(what);
  const field = lacks?.[1] ?? last;
  const owner = ownerName(members, procedure);
  const name =
    field === undefined
      ? "The procedure"
      : `${fieldName(field, lacks === null ? named.at(-2) : last)}${owner === "" ? "" : ` of ${owner}`}`;
  // A choice from a list has the form of an id, which an empty one lacks.
  if (lacks !== null || what === "must not be empty" || what.startsWith("must be like ^[a-z]")) {
    return `${name} is not filled in`;
  }
  if (what.startsWith("must be like")) return `${name} has a sign that does not belong there`;
  if (what === "must be a whole number") return `${name} needs a whole number`;
  if (what.startsWith("must have at least 1 ")) return `${name}: at least one is needed`;
  return `${name} ${what}`;
}

/** What a field belongs to, where the place of a fault does not say so already. */
function ownerName([list = "", at = ""]: readonly string[], procedure: Procedure | null): string {
  if (list === "part") return "the new part";
  if (list === "core") return "the old part";
  if (list !== "fasteners" && list !== "connectors" && list !== "pairs") return "";
  return procedure?.[list]?.[Number(at)]?.name || "";
}

/** How many open jobs follow each revision of a procedure. */
export function openJobsAt(id: string): ReadonlyMap<number, number> {
  const at = new Map<number, number>();
  for (const job of state.value.job.values()) {
    const isOpen = job.stage !== "booked" && job.stage !== "handed_over";
    if (job.procedure === id && job.revision !== null && isOpen) at.set(job.revision, (at.get(job.revision) ?? 0) + 1);
  }
  return at;
}

/** The newest revision that the shop has; 0 when it has none. */
export const newestRevision = (id: string): number => procedures().find((p) => p.id === id)?.rev ?? 0;

/** The bench as a technician would see it at a step, everything before it done as written. */
export function benchAt(procedure: Procedure, place: number): { readonly bench: Bench; readonly step: Step } | null {
  const steps = derive(procedure);
  const step = steps[place];
  if (step === undefined) return null;
  const ledger: Record<string, { out: number; back: number }> = {};
  for (const op of steps.slice(0, place).flatMap((s) => s.ops)) {
    if (op.op !== "remove" && op.op !== "insert") continue;
    const counters = ledger[op.group] ?? { out: 0, back: 0 };
    ledger[op.group] = counters;
    const whole = procedure.fasteners.find((f) => f.id === op.group)?.count ?? 0;
    if (op.op === "remove") counters.out += whole;
    else counters.back += inTray(counters);
  }
  const blank = blankRecords.job as unknown as Job;
  const job: Job = { ...blank, stage: "bench", procedure: procedure.id, model: procedure.model, ledger };
  const last = steps[place - 1] ?? null;
  return { step, bench: { job, procedure, code: "", tray: null, steps, open: step, last, stopped: false } };
}
