/**
 * Changes to a draft of a procedure. Each gives a new document; whatever refers to a removed thing is removed too, so
 * that no step is left pointing at nothing.
 */
import type { Drawing, Scene, Shape } from "./drawing.ts";
import {
  type Connector,
  type Fastener,
  type Heat,
  type Op,
  type Procedure,
  SECTIONS,
  type Section,
  type Written,
  writtenSteps,
} from "./procedure.ts";
import { slugOf } from "./slug.ts";

/** An empty procedure. */
export const blankProcedure = (id: string, title: string, model: string): Procedure => ({
  id,
  rev: 1,
  title,
  model,
  minutes: 30,
  part: { kind: "", name: "", serves: [] },
  core: { name: "", kind: "", purpose: "credit", shipping_caution: "none" },
  fasteners: [],
  connectors: [],
  pairs: [],
  scenes: {},
  in: [],
  turn: [],
  closing: [],
});

// Lists

export const replacedAt = <T>(list: readonly T[], place: number, row: T): readonly T[] =>
  list.map((each, at) => (at === place ? row : each));
export const withoutAt = <T>(list: readonly T[], place: number): readonly T[] => list.filter((_, at) => at !== place);

/** One entry earlier (-1) or later (1); at the end of the list nothing changes. */
export function movedBy<T>(list: readonly T[], place: number, by: -1 | 1): readonly T[] {
  const [one, other] = [list[place], list[place + by]];
  if (one === undefined || other === undefined) return list;
  return replacedAt(replacedAt(list, place, other), place + by, one);
}

// Steps

/** Ids that steps may not take: those of the others, of the ways back, and of the steps that end every job. */
const takenStepIds = (procedure: Procedure): readonly string[] => [
  ...writtenSteps(procedure).flatMap((row) => [row.id, `${row.id}-back`, row.id.replace(/-back$/, "")]),
  ...["safety", "final", "core", "leftover"],
];

/** Short enough that the id of the way back, which is 5 longer, is a slug too (F2.5). */
const MOST_OF_STEP_ID = 35;

/** A new step at the end of a section, and its id. */
export function addStep(procedure: Procedure, section: Section, title: string): readonly [Procedure, string] {
  const id = slugOf(title, takenStepIds(procedure), MOST_OF_STEP_ID);
  const anchor = procedure.in[procedure.in.length - 1]?.id ?? "";
  const row: Written = {
    id,
    title,
    say: [],
    tools: [],
    cautions: [],
    ...(section === "closing" ? { before: anchor } : {}),
  };
  return [{ ...procedure, [section]: [...procedure[section], row] }, id];
}

/** One step changed; a member set to undefined is removed. */
export const changeStep = (procedure: Procedure, id: string, part: Changes<Written>): Procedure =>
  eachStep(procedure, (row) => (row.id === id ? without<Written>({ ...row, ...part }) : row));

/** As many as the form of a procedure allows for a step. */
export const MOST_PHOTOS = 4;

/** Add a photo to a step; no change if it is there already, or one too many, or the step is gone. */
export function addPhoto(procedure: Procedure, id: string, photo: string): Procedure {
  const step = writtenSteps(procedure).find((row) => row.id === id);
  const photos = step?.photos ?? [];
  if (step === undefined || photos.length >= MOST_PHOTOS || photos.some((p) => p.photo === photo)) return procedure;
  return changeStep(procedure, id, { photos: [...photos, { photo, say: "" }] });
}

/** What a step warms. Heat has a wait, its usual time. */
export const heated = (procedure: Procedure, id: string, heat: Heat | undefined): Procedure =>
  eachStep(procedure, (row) =>
    row.id === id ? without<Written>({ ...row, heat, wait_s: row.wait_s ?? (heat && USUAL_WARMING_S) }) : row,
  );
const USUAL_WARMING_S = 60;

/** A member of the whole that is left out when empty. */
export const withMember = <K extends "needs" | "ask" | "recheck">(
  procedure: Procedure,
  member: K,
  value: Procedure[K],
): Procedure => without<Procedure>({ ...procedure, [member]: value?.length === 0 ? undefined : value });

/** Remove a step, and what other steps say about it. */
export function dropStep(procedure: Procedure, id: string): Procedure {
  const left = Object.fromEntries(SECTIONS.map((s) => [s, procedure[s].filter((row) => row.id !== id)]));
  return eachStep({ ...procedure, ...left }, (row) =>
    without<Written>({ ...row, undoes: row.undoes === id ? undefined : row.undoes }),
  );
}

/** Move a step one position earlier or later in its section. */
export const moveStep = (procedure: Procedure, section: Section, place: number, by: -1 | 1): Procedure => ({
  ...procedure,
  [section]: movedBy(procedure[section], place, by),
});

// Fasteners, connectors, paired parts

export function addFastener(procedure: Procedure, name: string): Procedure {
  const like = procedure.fasteners[procedure.fasteners.length - 1];
  const row: Fastener = {
    id: slugOf(
      name,
      procedure.fasteners.map((f) => f.id),
    ),
    name,
    drive: like?.drive ?? "",
    thread: like?.thread ?? "",
    head: like?.head ?? "pan",
    length_um: like?.length_um ?? 2000,
    count: 1,
    pocket: freePocket(procedure),
    where: "",
  };
  return { ...procedure, fasteners: [...procedure.fasteners, row] };
}

/** The first pocket without a group. */
export function freePocket({ fasteners }: Procedure): number {
  for (let pocket = 1; ; pocket += 1) if (!fasteners.some((f) => f.pocket === pocket)) return pocket;
}

export const dropFastener = (procedure: Procedure, id: string): Procedure =>
  withoutNamed({ ...procedure, fasteners: procedure.fasteners.filter((f) => f.id !== id) }, "group", id);

export function addConnector(procedure: Procedure, name: string): Procedure {
  const row: Connector = {
    id: slugOf(
      name,
      procedure.connectors.map((c) => c.id),
    ),
    name,
    serves: [],
  };
  return { ...procedure, connectors: [...procedure.connectors, row] };
}

export const dropConnector = (procedure: Procedure, id: string): Procedure =>
  withoutNamed({ ...procedure, connectors: procedure.connectors.filter((c) => c.id !== id) }, "connector", id);

export function addPair(procedure: Procedure, name: string): Procedure {
  const row = {
    id: slugOf(
      name,
      procedure.pairs.map((p) => p.id),
    ),
    name,
    test: "",
  };
  return { ...procedure, pairs: [...procedure.pairs, row] };
}

export const dropPair = (procedure: Procedure, id: string): Procedure =>
  eachStep({ ...procedure, pairs: procedure.pairs.filter((p) => p.id !== id) }, (row) =>
    row.pair === id ? without<Written>({ ...row, pair: undefined, gate: undefined }) : row,
  );

// Views

/** A new view to draw upon, and its id. */
export function addScene(procedure: Procedure, say: string): readonly [Procedure, string] {
  const id = slugOf(say, Object.keys(procedure.scenes ?? {}));
  const scene: Scene = { w: 240, h: 200, say, shapes: [] };
  return [{ ...procedure, scenes: { ...procedure.scenes, [id]: scene } }, id];
}

export const changeScene = (procedure: Procedure, id: string, scene: Scene): Procedure => ({
  ...procedure,
  scenes: { ...procedure.scenes, [id]: scene },
});

/** Remove a view, and the drawings upon it. */
export function dropScene(procedure: Procedure, id: string): Procedure {
  const { [id]: _, ...scenes } = procedure.scenes ?? {};
  return eachStep({ ...procedure, scenes }, (row) =>
    row.drawing?.scene === id ? without<Written>({ ...row, drawing: undefined }) : row,
  );
}

/** Steps that are drawn upon a view. */
export const drawnUpon = (procedure: Procedure, id: string): readonly Written[] =>
  writtenSteps(procedure).filter((row) => row.drawing?.scene === id);

// The whole

/** As it is kept and checked: no white space around texts, and no member without a value. */
export const tidied = (procedure: Procedure): Procedure => tidy(procedure) as Procedure;

function tidy(value: unknown): unknown {
  if (typeof value === "string") return value.trim();
  if (Array.isArray(value)) return value.map(tidy);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([name, inner]) => (inner === undefined ? [] : [[name, tidy(inner)]])),
  );
}

// Inner

/** Members may be undefined, which removes them. */
export type Changes<T> = { readonly [K in keyof T]?: T[K] | undefined };

/** Without members that are undefined, which JSON does not have. */
const without = <T extends object>(row: Changes<T>): T =>
  Object.fromEntries(Object.entries(row).filter(([, value]) => value !== undefined)) as T;

function eachStep(procedure: Procedure, change: (row: Written) => Written): Procedure {
  return {
    ...procedure,
    in: procedure.in.map(change),
    turn: procedure.turn.map(change),
    closing: procedure.closing.map(change),
  };
}

/** Operations and drawn shapes that name a group or a connector are removed with it. */
function withoutNamed(procedure: Procedure, member: "group" | "connector", id: string): Procedure {
  const names = (row: Op | Shape): boolean => (row as Readonly<Record<string, unknown>>)[member] === id;
  const others = <T extends Op | Shape>(rows: readonly T[]): readonly T[] => rows.filter((row) => !names(row));
  const scenes = Object.fromEntries(
    Object.entries(procedure.scenes ?? {}).map(([name, scene]) => [name, { ...scene, shapes: others(scene.shapes) }]),
  );
  return eachStep({ ...procedure, scenes }, (row) => {
    const ops = row.ops === undefined ? undefined : others(row.ops);
    const drawing: Drawing | undefined =
      row.drawing === undefined ? undefined : { ...row.drawing, shapes: others(row.drawing.shapes) };
    return without<Written>({ ...row, ops: ops?.length === 0 ? undefined : ops, drawing });
  });
}
