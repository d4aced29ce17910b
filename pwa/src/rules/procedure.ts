/** A procedure's whole walk from the way in that its author wrote: the way out is the way in, backwards. */
import type { Drawing, Scene } from "./drawing.ts";

export type Op =
  | { readonly op: "remove" | "insert"; readonly group: string }
  | { readonly op: "unplug" | "plug"; readonly connector: string }
  | { readonly op: "lift" | "seat"; readonly what: string; readonly angle_max_deg?: number };

export type Gate = "safety" | "liquid" | "power" | "prefit" | "pair" | "final" | "core" | "leftover" | "recheck";

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

/** Photos that a step shows; a way back shows those of the step it returns. */
export const photosOf = (procedure: Procedure, step: Pick<Step, "id" | "source">): readonly StepPhoto[] =>
  writtenSteps(procedure).find((row) => row.id === step.id || `${row.id}-back` === step.id)?.photos ?? [];

/** Every photo that a procedure shows, each once. */
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
  /** Seconds that the step works by itself, such as warming. */
  readonly wait_s: number | null;
};

/** All steps in order: the questions that begin every job, way in, turn, way out, and the three that end every job. */
export function derive(procedure: Procedure): readonly Step[] {
  const steps = [...[...BEGINNING, ...procedure.in].map((row) => step(row, "in")), ...procedure.turn.map((row) => step(row, "turn"))];
  for (const row of [...procedure.in].reverse()) {
    steps.push(...procedure.closing.filter((extra) => extra.before === row.id).map((extra) => step(extra, "out")));
    if (row.back !== undefined || (row.ops ?? []).length > 0) steps.push(wayBack(row));
  }
  return [...steps, ...ENDING.map((row) => step(row, "end"))];
}

/**
 * What remains of a stopped job: take back a trial that stands, close what was opened, tag the old part if the new one
 * is in, check the tray. An unsafe battery is never plugged in again.
 */
export function whenStopped(procedure: Procedure, done: ReadonlySet<string>, reason: string): readonly Step[] {
  const power = new Set(procedure.connectors.filter((c) => c.power === true).map((c) => c.id));
  const plugsUnsafe = (op: Op): boolean => reason === "battery" && op.op === "plug" && power.has(op.connector);
  const movedOver = procedure.turn.length > 0 && procedure.turn.every((row) => done.has(row.id));
  const remaining = derive(procedure).filter((s) => {
    const takesBack = s.phase === "turn" && s.undoes !== null && done.has(s.undoes);
    const closes = s.source !== null && done.has(s.source) && s.id === `${s.source}-back`;
    const tags = movedOver && s.id === "core";
    return takesBack || closes || tags || s.id === "leftover";
  });
  return remaining.flatMap((s) => {
    const ops = s.ops.filter((op) => !plugsUnsafe(op));
    return ops.length === 0 && s.ops.length > 0 ? [] : [ops.length === s.ops.length ? s : { ...s, ops }];
  });
}

function step(row: Written, phase: Phase): Step {
  return {
    id: row.id,
    phase,
    title: row.title,
    say: row.say,
    tools: row.tools,
    cautions: row.cautions,
    ops: row.ops ?? [],
    gate: row.gate ?? null,
    pair: row.pair ?? null,
    points: row.points ?? null,
    undoes: row.undoes ?? null,
    source: row.before ?? null,
    wait_s: row.wait_s ?? null,
  };
}

function wayBack(row: Written): Step {
  const ops = [...(row.ops ?? [])].reverse().map(back);
  return {
    ...step(row, "out"),
    id: `${row.id}-back`,
    title: row.back?.title ?? `Back: ${row.title}`,
    say: row.back?.say ?? [],
    ops,
    gate: null,
    source: row.id,
    wait_s: null,
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

const ENDING: readonly Written[] = [
  {
    id: "final",
    title: "Test the whole device",
    gate: "final",
    tools: [],
    cautions: [],
    say: ["Every test point, or the reason why one cannot be tested."],
  },
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
