/** What one revision of a procedure changes against another, in the words of the bench. */
import cautionsTable from "@shared/cautions.json";
import { testPoints } from "../tables/testPoints.ts";
import {
  type Heat,
  type Op,
  type Procedure,
  SECTIONS,
  type Section,
  type Solvent,
  type Swollen,
  type Written,
  writtenSteps,
} from "./procedure.ts";

export type Difference = {
  /** What it is about, such as "Way in: Lift the display". */
  readonly where: string;
  readonly what: "new" | "gone" | "changed" | "moved";
  readonly lines: readonly Line[];
};
export type Line = { readonly field: string; readonly before: string; readonly after: string };

type Row = Readonly<Record<string, unknown>>;

export const SECTION_NAMES: Readonly<Record<Section, string>> = { in: "Way in", turn: "Turn", closing: "Closing only" };

/** All differences, in the order of the document; none when the two are equal. */
export function differences(before: Procedure, after: Procedure): readonly Difference[] {
  const about = ({ title, model, minutes, needs, ask, recheck }: Procedure): Row => ({
    ...{ title, model, minutes, needs, ask, recheck },
  });
  const scenes = (p: Procedure): readonly Row[] =>
    Object.entries(p.scenes ?? {}).map(([id, scene]) => ({ id, name: scene.say, ...scene }));
  return [
    ...changed("The procedure", about(before), about(after), before, after),
    ...changed("The new part", before.part, after.part, before, after),
    ...changed("The old part", before.core, after.core, before, after),
    ...ofList("Fasteners", before.fasteners, after.fasteners, before, after),
    ...ofList("Connectors", before.connectors, after.connectors, before, after),
    ...ofList("Paired parts", before.pairs, after.pairs, before, after),
    ...ofList("Views", scenes(before), scenes(after), before, after),
    ...SECTIONS.flatMap((section) => ofSteps(section, before, after)),
  ];
}

function ofList(
  name: string,
  old: readonly Row[],
  now: readonly Row[],
  before: Procedure,
  after: Procedure,
): readonly Difference[] {
  const was = new Map(old.map((row) => [row.id, row]));
  const is = new Set(now.map((row) => row.id));
  const title = (row: Row): string => `${name}: ${String(row.title ?? row.name)}`;
  return [
    ...now.flatMap((row) => {
      const earlier = was.get(row.id);
      if (earlier === undefined) return [{ where: title(row), what: "new" as const, lines: [] }];
      return changed(title(row), earlier, row, before, after);
    }),
    ...old.filter((row) => !is.has(row.id)).map((row) => ({ where: title(row), what: "gone" as const, lines: [] })),
  ];
}

function ofSteps(section: Section, before: Procedure, after: Procedure): readonly Difference[] {
  const [old, now] = [before[section], after[section]];
  const common = (rows: readonly Written[], others: readonly Written[]): readonly string[] =>
    rows.map((row) => row.id).filter((id) => others.some((o) => o.id === id));
  const [order, reordered] = [common(old, now), common(now, old)];
  const moved = movedOf(order, reordered).map((id) => ({
    where: `${SECTION_NAMES[section]}: ${now.find((row) => row.id === id)?.title ?? id}`,
    what: "moved" as const,
    lines: [],
  }));
  return [...ofList(SECTION_NAMES[section], old as readonly Row[], now as readonly Row[], before, after), ...moved];
}

/** The fewest entries to move so that one order becomes the other: all outside a longest common subsequence. */
function movedOf(order: readonly string[], reordered: readonly string[]): readonly string[] {
  const places = reordered.map((id) => order.indexOf(id));
  const best: (readonly number[])[] = [];
  places.forEach((place, at) => {
    const runs = best.slice(0, at).filter((run) => (places[run[run.length - 1] ?? 0] ?? 0) < place);
    const longest = runs.reduce<readonly number[]>((a, b) => (b.length > a.length ? b : a), []);
    best.push([...longest, at]);
  });
  const keep = new Set(best.reduce<readonly number[]>((a, b) => (b.length > a.length ? b : a), []));
  return reordered.filter((_, at) => !keep.has(at));
}

function changed(where: string, old: object, now: object, before: Procedure, after: Procedure): readonly Difference[] {
  const [was, is] = [old as Row, now as Row];
  const fields = [...new Set([...Object.keys(was), ...Object.keys(is)])].filter((f) => f !== "id");
  const lines = fields
    .filter((field) => JSON.stringify(sorted(was[field])) !== JSON.stringify(sorted(is[field])))
    .map((field) => ({
      field: fieldName(field),
      before: inWords(field, was[field], before),
      after: inWords(field, is[field], after),
    }));
  return lines.length === 0 ? [] : [{ where, what: "changed", lines }];
}

/** Whether two revisions differ in nothing but their number, and in naming the schema of a file. */
export const saysTheSame = (one: Procedure, other: Procedure): boolean => said(one) === said(other);
const said = (procedure: Procedure): string => JSON.stringify(sorted({ ...procedure, rev: 0, $schema: undefined }));

/** A text that does not depend on the order of members. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, inner]) => [name, sorted(inner)]),
  );
}

/** A member of a procedure in words; within another, it may have a name of its own. */
export const fieldName = (member: string, within = ""): string =>
  FIELDS[`${within}.${member}`] ?? FIELDS[member] ?? member;

const FIELDS: Readonly<Record<string, string>> = {
  title: "Title",
  name: "Name",
  model: "Model",
  kind: "Kind",
  serves: "Serves",
  purpose: "Goes back for",
  shipping_caution: "Battery",
  energy_mwh: "Energy, mWh",
  drive: "Drive",
  thread: "Thread",
  head: "Head",
  length_um: "Length",
  count: "Count",
  pocket: "Pocket",
  where: "Where",
  caution: "Caution",
  power: "Carries power",
  test: "Test point",
  say: "Sentences",
  tools: "Tools",
  cautions: "Cautions",
  ops: "Operations",
  gate: "Gate",
  pair: "Paired part",
  points: "Test points",
  undoes: "Takes back",
  before: "Stands before",
  wait_s: "Wait, seconds",
  heat: "Heat",
  "heat.where": "Where it is warmed",
  "heat.usual_c": "Usual temperature there",
  solvent: "Solvent",
  "solvent.what": "Which solvent",
  "solvent.where": "Where it goes",
  swollen: "Beside a swollen cell",
  needs: "Used up",
  ask: "Whom to ask",
  recheck: "Tested again at the end",
  back: "Way back",
  drawing: "Drawing",
  photos: "Photos",
  w: "Width",
  h: "Height",
  shapes: "Shapes",
  what: "What is lifted",
  group: "Fasteners",
  connector: "Connector",
  minutes: "Bench time",
  part: "The new part",
  core: "The old part",
  in: "Way in",
};

function inWords(field: string, value: unknown, procedure: Procedure): string {
  if (value === undefined) return "nothing";
  if (field === "length_um") return `${Number(value) / 1000} mm`;
  if (field === "power") return "yes";
  if (field === "ops") return (value as readonly Op[]).map((op) => opText(op, procedure)).join("; ");
  if (field === "shapes") return `${(value as readonly unknown[]).length} shapes`;
  if (field === "drawing") {
    const { scene, shapes } = value as { readonly scene: string; readonly shapes: readonly unknown[] };
    return `${procedure.scenes?.[scene]?.say ?? scene}, ${shapes.length} shapes`;
  }
  if (field === "photos") return (value as readonly { readonly say: string }[]).map((p) => p.say).join("; ");
  if (field === "heat") {
    const { where, usual_c } = value as Heat;
    return `${where}, usually ${usual_c} °C`;
  }
  if (field === "solvent") {
    const { what, where } = value as Solvent;
    return `${what}: ${where}`;
  }
  if (field === "swollen") return (value as Swollen).say.join(" / ");
  if (field === "gate" && value === "final") return "whole test";
  if (field === "back") {
    const { title, say } = value as { readonly title: string; readonly say: readonly string[] };
    return [title, ...say].join(" / ");
  }
  if (field === "cautions") return (value as readonly string[]).map(cautionName).join(", ") || "none";
  if (field === "caution") return cautionName(String(value));
  if (field === "points" || field === "recheck") return (value as readonly string[]).map(pointName).join(", ");
  if (field === "test") return pointName(String(value));
  if (field === "undoes" || field === "before") return stepTitle(procedure, String(value));
  if (field === "pair") return procedure.pairs.find((p) => p.id === value)?.name ?? String(value);
  if (Array.isArray(value)) return value.join(" / ") || "none";
  return String(value);
}

/** "take out 2 × Bottom screws". */
function opText(op: Op, procedure: Procedure): string {
  const fastener = "group" in op ? procedure.fasteners.find((f) => f.id === op.group) : undefined;
  const plug = "connector" in op ? procedure.connectors.find((c) => c.id === op.connector) : undefined;
  switch (op.op) {
    case "remove":
      return `take out ${fastener?.count ?? 0} × ${fastener?.name ?? op.group}`;
    case "insert":
      return `put in ${fastener?.count ?? 0} × ${fastener?.name ?? op.group}`;
    case "unplug":
      return `unplug ${plug?.name ?? op.connector}`;
    case "plug":
      return `plug in ${plug?.name ?? op.connector}`;
    case "lift":
      return `lift off ${op.what}${op.cell === true ? ", the battery's cell" : ""}${angle(op.angle_max_deg)}`;
    case "seat":
      return `seat ${op.what}${angle(op.angle_max_deg)}`;
  }
}

const angle = (degrees: number | undefined): string => (degrees === undefined ? "" : `, never past ${degrees}°`);

const stepTitle = (procedure: Procedure, id: string): string =>
  writtenSteps(procedure).find((row) => row.id === id)?.title ?? id;
const cautionName = (id: string): string =>
  (cautionsTable.cautions as Readonly<Record<string, { readonly name: string }>>)[id]?.name ?? id;
const pointName = (id: string): string => testPoints[id]?.name ?? id;
