/** The whole walk of a procedure from the way in that its author wrote: the way out is the way in, backwards. */
import type { Drawing, Scene } from "./drawing.ts";
import { withOpCautions } from "./opCautions.ts";

export type Op =
  | { readonly op: "remove" | "insert"; readonly group: string }
  | { readonly op: "unplug" | "plug"; readonly connector: string }
  | {
      readonly op: "lift" | "seat";
      readonly what: string;
      readonly angle_max_deg?: number;
      /** The battery's cell comes out with it. */
      readonly cell?: true;
    };

/** Where a step warms, and the usual temperature of that surface; the usual time is its wait. The shop sets its own. */
export type Heat = { readonly where: string; readonly usual_c: number };
export type Solvent = { readonly what: string; readonly where: string };
/** What a step says instead while a swollen cell is being taken out. */
export type Swollen = { readonly say: readonly string[] };

export type Gate =
  | "safety"
  | "liquid"
  | "power"
  | "prefit"
  | "pair"
  | "final"
  | "recheck"
  | "core"
  | "leftover"
  /** Of the way of an unsafe battery (rules/stopped.ts, rules/cellOut.ts). */
  | "unplug"
  | "bring"
  | "contain";

export type Written = {
  readonly id: string;
  readonly title: string;
  readonly say: readonly string[];
  readonly tools: readonly string[];
  readonly cautions: readonly string[];
  readonly ops?: readonly Op[];
  readonly gate?: Gate;
  readonly pair?: string;
  readonly points?: readonly string[];
  readonly undoes?: string;
  readonly before?: string;
  readonly drawing?: Drawing;
  readonly photos?: readonly StepPhoto[];
  readonly wait_s?: number;
  readonly heat?: Heat;
  readonly solvent?: Solvent;
  readonly swollen?: Swollen;
  readonly back?: { readonly title: string; readonly say: readonly string[] };
};

/** A photo of a step by its SHA-256, and what it shows. */
export type StepPhoto = { readonly photo: string; readonly say: string };

export type Fastener = {
  readonly id: string;
  readonly name: string;
  readonly drive: string;
  readonly thread: string;
  readonly head: string;
  readonly length_um: number;
  readonly count: number;
  readonly pocket: number;
  readonly where: string;
  readonly caution?: string;
};

export type Connector = {
  readonly id: string;
  readonly name: string;
  readonly power?: boolean;
  readonly serves: readonly string[];
};

export type Procedure = {
  readonly id: string;
  readonly rev: number;
  readonly title: string;
  readonly model: string;
  readonly minutes: number;
  /** What the work uses up. */
  readonly needs?: readonly string[];
  /** Whom to ask when it does not go as written. */
  readonly ask?: string;
  /** Points of the short test at the end, when the whole device is tested before the glue. */
  readonly recheck?: readonly string[];
  readonly part: { readonly kind: string; readonly name: string; readonly serves: readonly string[] };
  readonly core: {
    readonly name: string;
    readonly kind: string;
    readonly purpose: string;
    readonly shipping_caution: string;
    readonly energy_mwh?: number;
  };
  readonly fasteners: readonly Fastener[];
  readonly connectors: readonly Connector[];
  readonly pairs: readonly { readonly id: string; readonly name: string; readonly test: string }[];
  /** Views that several steps are drawn upon. */
  readonly scenes?: Readonly<Record<string, Scene>>;
  readonly in: readonly Written[];
  readonly turn: readonly Written[];
  readonly closing: readonly Written[];
};

/** The steps that are written, as their author sorts them. */
export const SECTIONS = ["in", "turn", "closing"] as const;
export type Section = (typeof SECTIONS)[number];
export const writtenSteps = (procedure: Procedure): readonly Written[] => SECTIONS.flatMap((s) => procedure[s]);

/** Every tool of a procedure, without repeats, in the order of first use. */
export const toolsOf = (procedure: Procedure): readonly string[] => [
  ...new Set(writtenSteps(procedure).flatMap((row) => row.tools)),
];

/** Photos that a step shows; a way back shows those of the step it returns. */
export const photosOf = (procedure: Procedure, step: Pick<Step, "id" | "source">): readonly StepPhoto[] =>
  writtenSteps(procedure).find((row) => row.id === step.id || `${row.id}-back` === step.id)?.photos ?? [];

/** Every photo that a procedure shows, without repeats. */
export const guidePhotos = (procedure: Procedure): readonly string[] => [
  ...new Set(writtenSteps(procedure).flatMap((row) => (row.photos ?? []).map((p) => p.photo))),
];

export type Phase = "in" | "turn" | "out" | "end";

export type Step = {
  readonly id: string;
  readonly phase: Phase;
  readonly title: string;
  readonly say: readonly string[];
  readonly tools: readonly string[];
  readonly cautions: readonly string[];
  readonly ops: readonly Op[];
  readonly gate: Gate | null;
  readonly pair: string | null;
  readonly points: readonly string[] | null;
  readonly undoes: string | null;
  readonly source: string | null;
  /** Seconds that the step takes by itself, such as warming. */
  readonly wait_s: number | null;
  readonly heat: Heat | null;
  readonly solvent: Solvent | null;
  readonly swollen: readonly string[] | null;
};

/** All steps in order: the questions that begin every job, way in, turn, way out, and the three that end every job. */
export function derive(procedure: Procedure): readonly Step[] {
  const steps = [
    ...[...BEGINNING, ...procedure.in].map((row) => step(row, "in")),
    ...procedure.turn.map((row) => step(row, "turn")),
  ];
  for (const row of [...procedure.in].reverse()) {
    steps.push(...procedure.closing.filter((extra) => extra.before === row.id).map((extra) => step(extra, "out")));
    if (row.back !== undefined || (row.ops ?? []).length > 0) steps.push(wayBack(row));
  }
  return [...steps, ...ENDING.map((row) => step(row.id === "final" ? lastTest(procedure) : row, "end"))];
}

/** The full final test; a short recheck for a device that was fully tested before it was glued. */
function lastTest(procedure: Procedure): Written {
  if (!procedure.closing.some((row) => row.gate === "final")) return FINAL;
  return {
    ...FINAL,
    gate: "recheck",
    title: "Test once more, closed",
    say: ["The whole test was made before the glue. Now that the device is closed, look at these again."],
    points: procedure.recheck ?? [],
  };
}

/** A written step with defaults for what it leaves out. */
export function step(row: Written, phase: Phase): Step {
  return {
    id: row.id,
    phase,
    title: row.title,
    say: row.say,
    tools: row.tools,
    cautions: withOpCautions(row.cautions, row.ops ?? []),
    ops: row.ops ?? [],
    gate: row.gate ?? null,
    pair: row.pair ?? null,
    points: row.points ?? null,
    undoes: row.undoes ?? null,
    source: row.before ?? null,
    wait_s: row.wait_s ?? null,
    heat: row.heat ?? null,
    solvent: row.solvent ?? null,
    swollen: row.swollen?.say ?? null,
  };
}

function wayBack(row: Written): Step {
  const ops = [...(row.ops ?? [])].reverse().map(back);
  return {
    ...step({ ...row, ops }, "out"),
    id: `${row.id}-back`,
    title: row.back?.title ?? `Back: ${row.title}`,
    say: row.back?.say ?? [],
    gate: null,
    source: row.id,
    wait_s: null,
    heat: null,
    solvent: null,
    swollen: null,
  };
}

function back(op: Op): Op {
  switch (op.op) {
    case "remove":
      return { ...op, op: "insert" };
    case "insert":
      return { ...op, op: "remove" };
    case "unplug":
      return { ...op, op: "plug" };
    case "plug":
      return { ...op, op: "unplug" };
    case "lift":
      return { ...op, op: "seat" };
    case "seat":
      return { ...op, op: "lift" };
  }
}

const BEGINNING: readonly Written[] = [
  {
    id: "safety",
    title: "Before anything else",
    gate: "safety",
    tools: [],
    cautions: ["battery"],
    say: ["Three questions before any test, charge, heat, cup or pick."],
  },
];

const FINAL: Written = {
  id: "final",
  title: "Test the whole device",
  gate: "final",
  tools: [],
  cautions: [],
  say: ["Every test point, or the reason why one cannot be tested."],
};

const ENDING: readonly Written[] = [
  FINAL,
  {
    id: "core",
    title: "Tag the old part",
    gate: "core",
    tools: [],
    cautions: ["waste"],
    say: ["Put the old part into the new part's packaging and label it."],
  },
  {
    id: "leftover",
    title: "Nothing left over",
    gate: "leftover",
    tools: [],
    cautions: [],
    say: ["Look at the tray and at the bench. Everything is back in the device or entered as lost."],
  },
];
