/**
 * Whether a procedure is sound: a readable list of its faults, by the table `procedure_faults.json`.
 * Order of the list: names, fasteners, gates, the walk, stops, cautions, heat and solvent, drawings; within each, the
 * order of the document.
 */
import cautionsTable from "@shared/cautions.json";
import headsTable from "@shared/fastener_heads.json";
import wordsTable from "@shared/procedure_cautions.json";
import schema from "@shared/schema/procedure.schema.json";
import pointsTable from "@shared/test_points.json";
import { dangerWords } from "./dangerWords.ts";
import type { Point, Scene, Shape } from "./drawing.ts";
import { formFaults } from "./form.ts";
import { heatFaults } from "./heatCheck.ts";
import { isLookAlike } from "./ledger.ts";
import { derive, type Procedure, type Step, type Written, writtenSteps } from "./procedure.ts";
import { type Fault, stopFaults, walkFaults } from "./procedureWalk.ts";

export type { Fault } from "./procedureWalk.ts";

/** Fasteners of telephones and tablets lie between these (common practice, no source). */
export const SHORTEST_UM = 600;
export const LONGEST_UM = 20_000;

/** All faults; none when it is sound. A document that is no procedure by its schema is checked no further. */
export function checkProcedure(document: unknown): readonly Fault[] {
  const formless = formFaults(document, schema);
  if (formless.length > 0) return formless.map((detail) => ({ slug: "not-in-form", step: null, detail }));
  const procedure = document as Procedure;
  const walk = derive(procedure);
  const byWalk = walkFaults(procedure, walk);
  return [
    ...names(procedure),
    ...fasteners(procedure),
    ...gates(procedure, walk),
    ...byWalk,
    ...(byWalk.length > 0 ? [] : stopFaults(procedure, walk)),
    ...cautions(procedure),
    ...heatFaults(procedure, walk),
    ...drawings(procedure),
  ];
}

const fault = (slug: string, step: string | null, detail: string): Fault => ({ slug, step, detail });
const isCaution = (id: string): boolean => Object.hasOwn(cautionsTable.cautions, id);
const isPoint = (id: string): boolean => Object.hasOwn(pointsTable.points, id);

type Lists = {
  readonly groups: readonly string[];
  readonly plugs: readonly string[];
  readonly pairs: readonly string[];
};

function names(procedure: Procedure): readonly Fault[] {
  const lists: Lists = {
    groups: procedure.fasteners.map((f) => f.id),
    plugs: procedure.connectors.map((c) => c.id),
    pairs: procedure.pairs.map((p) => p.id),
  };
  const backs = procedure.in.filter((row) => row.back !== undefined || (row.ops ?? []).length > 0);
  const steps = writtenSteps(procedure).map((row) => row.id);
  const own = [...steps, ...backs.map((row) => `${row.id}-back`), "safety", "final", "core", "leftover"];
  const turn = procedure.turn.map((row) => row.id);
  const anchors = new Set(procedure.in.map((row) => row.id));
  return [
    ...repeated(own).map((id) => fault("id-repeated", id, "step")),
    ...repeated(lists.groups).map((id) => fault("id-repeated", null, `group ${id}`)),
    ...repeated(lists.plugs).map((id) => fault("id-repeated", null, `connector ${id}`)),
    ...repeated(lists.pairs).map((id) => fault("id-repeated", null, `pair ${id}`)),
    ...procedure.fasteners.flatMap((f) =>
      f.caution !== undefined && !isCaution(f.caution)
        ? [fault("caution-unknown", null, `group ${f.id}: ${f.caution}`)]
        : [],
    ),
    ...procedure.pairs.flatMap((p) =>
      isPoint(p.test) ? [] : [fault("test-point-unknown", null, `pair ${p.id}: ${p.test}`)],
    ),
    ...(procedure.recheck ?? [])
      .filter((id) => !isPoint(id))
      .map((id) => fault("test-point-unknown", null, `recheck: ${id}`)),
    ...writtenSteps(procedure).flatMap((row) => namesOfStep(row, lists)),
    ...procedure.turn.flatMap((row, place) =>
      row.undoes !== undefined && !turn.slice(0, place).includes(row.undoes)
        ? [fault("undoes-unknown", row.id, row.undoes)]
        : [],
    ),
    ...procedure.closing.flatMap((row) =>
      anchors.has(row.before ?? "") ? [] : [fault("closing-unanchored", row.id, row.before ?? "")],
    ),
  ];
}

const repeated = (ids: readonly string[]): readonly string[] =>
  ids.filter((id, place) => ids.slice(0, place).filter((earlier) => earlier === id).length === 1);

function namesOfStep(row: Written, { groups, plugs, pairs }: Lists): readonly Fault[] {
  const ops = (row.ops ?? []).flatMap((op) => {
    if ("group" in op && !groups.includes(op.group)) return [fault("group-unknown", row.id, op.group)];
    if ("connector" in op && !plugs.includes(op.connector)) return [fault("connector-unknown", row.id, op.connector)];
    return [];
  });
  const moves = row.gate === "pair" || row.pair !== undefined;
  return [
    ...ops,
    ...row.cautions.filter((id) => !isCaution(id)).map((id) => fault("caution-unknown", row.id, id)),
    ...(row.points ?? []).filter((id) => !isPoint(id)).map((id) => fault("test-point-unknown", row.id, id)),
    ...(moves && !pairs.includes(row.pair ?? "") ? [fault("pair-unknown", row.id, row.pair ?? "")] : []),
  ];
}

function fasteners(procedure: Procedure): readonly Fault[] {
  const ops = writtenSteps(procedure).flatMap((row) => row.ops ?? []);
  const removed = new Set(ops.flatMap((op) => (op.op === "remove" ? [op.group] : [])));
  const unplugged = new Set(ops.flatMap((op) => (op.op === "unplug" ? [op.connector] : [])));
  const rows = procedure.fasteners;
  return [
    ...rows.filter((f) => !removed.has(f.id)).map((f) => fault("group-unused", null, f.id)),
    ...procedure.connectors.filter((c) => !unplugged.has(c.id)).map((c) => fault("connector-unused", null, c.id)),
    ...rows.flatMap((f) => [
      ...(f.length_um < SHORTEST_UM || f.length_um > LONGEST_UM
        ? [fault("length-implausible", null, `${f.id}: ${f.length_um}`)]
        : []),
      ...(Object.hasOwn(headsTable.heads, f.head) ? [] : [fault("head-unknown", null, `${f.id}: ${f.head}`)]),
    ]),
    ...rows.flatMap((one, place) =>
      rows
        .slice(place + 1)
        .filter((other) => one.pocket === other.pocket)
        .map((other) =>
          fault(
            isLookAlike(one, other) ? "look-alikes-together" : "pocket-shared",
            null,
            `${one.id}, ${other.id}: ${one.pocket}`,
          ),
        ),
    ),
  ];
}

/** Liquid gate before the first unplugging, the part proven, each pair moved after that. Power: procedureWalk.ts. */
function gates(procedure: Procedure, walk: readonly Step[]): readonly Fault[] {
  const found: Fault[] = [];
  const unplugs = walk.findIndex((s) => s.ops.some((op) => op.op === "unplug"));
  if (unplugs !== -1 && !procedure.connectors.some((c) => c.power === true)) {
    found.push(fault("power-missing", null, ""));
  }
  const liquid = walk.findIndex((s) => s.gate === "liquid");
  if (liquid === -1) found.push(fault("liquid-missing", null, ""));
  else if (unplugs !== -1 && unplugs <= liquid) {
    found.push(fault("liquid-late", walk[unplugs]?.id ?? null, walk[liquid]?.id ?? ""));
  }
  const proves = walk.some((s) => s.gate === "prefit");
  if (!proves) found.push(fault("prefit-missing", null, procedure.part.kind));
  found.push(...wholeTest(procedure));
  walk.forEach((step, place) => {
    const isJudging = step.gate === "liquid" || step.gate === "prefit" || step.gate === "pair";
    const again = walk.slice(0, place).some((s) => s.gate === step.gate && s.pair === step.pair);
    if (isJudging && again) found.push(fault("gate-repeated", step.id, step.gate ?? ""));
    const early = step.gate === "pair" && walk.slice(place).some((s) => s.gate === "prefit");
    if (early) found.push(fault("pair-early", step.id, step.pair ?? ""));
  });
  const moved = (id: string): boolean => walk.some((s) => s.gate === "pair" && s.pair === id);
  return [...found, ...procedure.pairs.filter((p) => !moved(p.id)).map((p) => fault("pair-stays", null, p.id))];
}

/** A full test before the glue: at most once, and then a short one at the end. */
function wholeTest({ closing, recheck }: Procedure): readonly Fault[] {
  const [first, ...again] = closing.filter((row) => row.gate === "final");
  return [
    ...(first !== undefined && recheck === undefined ? [fault("recheck-missing", first.id, "")] : []),
    ...(first === undefined && recheck !== undefined ? [fault("recheck-idle", null, recheck.join(", "))] : []),
    ...again.map((row) => fault("gate-repeated", row.id, "final")),
  ];
}

function cautions(procedure: Procedure): readonly Fault[] {
  const placeOf = (group: string): readonly string[] => {
    const found = procedure.fasteners.find((f) => f.id === group);
    return found === undefined ? [] : [found.where];
  };
  return writtenSteps(procedure).flatMap((row) => {
    const moved = (row.ops ?? []).flatMap((op) => ("group" in op ? placeOf(op.group) : []));
    return wordsTable.rows.flatMap((rule) => {
      const named = [
        ...dangerWords(row, rule.words, moved),
        ...rule.gates.filter((gate) => gate === row.gate).map((gate) => `gate ${gate}`),
      ];
      return named.length > 0 && !row.cautions.includes(rule.caution)
        ? [fault("caution-missing", row.id, `${rule.caution}: ${named[0]}`)]
        : [];
    });
  });
}

function drawings(procedure: Procedure): readonly Fault[] {
  const scenes = procedure.scenes ?? {};
  const ofScenes = Object.keys(scenes)
    .sort()
    .flatMap((name) => {
      const scene = scenes[name];
      return scene === undefined ? [] : shapeFaults(scene.shapes, scene, procedure, null);
    });
  const ofSteps = writtenSteps(procedure).flatMap((row) => {
    if (row.drawing === undefined) return [];
    const scene = Object.hasOwn(scenes, row.drawing.scene) ? scenes[row.drawing.scene] : undefined;
    if (scene === undefined) return [fault("drawing-unknown", row.id, `scene ${row.drawing.scene}`)];
    const shapes = [...scene.shapes, ...row.drawing.shapes];
    return [
      ...shapeFaults(row.drawing.shapes, scene, procedure, row.id),
      ...firsts(procedure).flatMap(({ id, count }) => {
        const spots = shapes.filter((s) => "spot" in s && s.group === id).length;
        return spots === 0 || spots === count ? [] : [fault("drawing-count", row.id, `${id}: ${spots}, not ${count}`)];
      }),
    ];
  });
  return [...ofScenes, ...ofSteps];
}

/** Of groups with one id the first counts, and they stand in the order of their last. */
const firsts = ({ fasteners: rows }: Procedure): readonly { readonly id: string; readonly count: number }[] => [
  ...new Map([...rows].reverse().map((f) => [f.id, f])).values(),
];

function shapeFaults(
  shapes: readonly Shape[],
  scene: Scene,
  procedure: Procedure,
  step: string | null,
): readonly Fault[] {
  const inside = ([x, y]: Point): boolean => x >= 0 && x <= scene.w && y >= 0 && y <= scene.h;
  return shapes.flatMap((shape, place) => [
    ...("group" in shape && !procedure.fasteners.some((f) => f.id === shape.group)
      ? [fault("drawing-unknown", step, `group ${shape.group}`)]
      : []),
    ...("connector" in shape && !procedure.connectors.some((c) => c.id === shape.connector)
      ? [fault("drawing-unknown", step, `connector ${shape.connector}`)]
      : []),
    ...(reach(shape).every(inside) ? [] : [fault("drawing-outside", step, `shape ${place + 1}`)]),
  ]);
}

/** The points that a shape goes to. */
function reach(shape: Shape): readonly Point[] {
  if ("rect" in shape) {
    const [x, y, width, height] = shape.rect;
    return [
      [x, y],
      [x + width, y + height],
    ];
  }
  if ("circle" in shape) {
    const [x, y, radius] = shape.circle;
    return [
      [x - radius, y - radius],
      [x + radius, y + radius],
    ];
  }
  if ("arc" in shape) return [[shape.arc[0], shape.arc[1]]];
  if ("line" in shape) return shape.line;
  if ("arrow" in shape) return shape.arrow;
  if ("spot" in shape) return [shape.spot];
  return ["plug" in shape ? shape.plug : shape.text];
}
