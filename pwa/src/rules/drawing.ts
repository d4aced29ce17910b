/** Drawings of a procedure as data: a scene that several steps share, and what a step adds to it. */
import type { Procedure, Step } from "./procedure.ts";

export type Point = readonly [number, number];
export type Surface = "frame" | "glass" | "board" | "battery" | "plate" | "part" | "mat" | "tool";
type Only = { readonly only?: "in" | "back" };

export type Shape = Only &
  (
    | { readonly rect: readonly [number, number, number, number, number]; readonly as: Surface; readonly say?: string }
    | { readonly circle: readonly [number, number, number]; readonly as: Surface; readonly say?: string }
    | { readonly line: readonly Point[]; readonly as: "cable" | "seal" | "warm" | "limit" | "edge" }
    | { readonly spot: Point; readonly group: string }
    | { readonly plug: Point; readonly connector: string; readonly side: Side; readonly say?: string }
    | { readonly arrow: readonly [Point, Point] }
    | { readonly arc: readonly [number, number, number, number, number] }
    | { readonly text: Point; readonly say: string; readonly align?: "start" | "middle" | "end" }
  );
export type Side = "left" | "right" | "above" | "below";

export type Scene = { readonly w: number; readonly h: number; readonly say: string; readonly shapes: readonly Shape[] };
export type Drawing = { readonly scene: string; readonly shapes: readonly Shape[] };

/** What a step shows: its own drawing, or for a way back that of the step it returns, with its movements reversed. */
export function drawingOf(procedure: Procedure, step: Pick<Step, "id" | "source">): Scene | null {
  const written = [...procedure.in, ...procedure.turn, ...procedure.closing];
  const own = written.find((row) => row.id === step.id);
  const isBack = own === undefined && step.source !== null && step.id === `${step.source}-back`;
  const drawing = (isBack ? written.find((row) => row.id === step.source) : own)?.drawing;
  const scene = drawing === undefined ? undefined : procedure.scenes?.[drawing.scene];
  if (drawing === undefined || scene === undefined) return null;
  const shown = [...scene.shapes, ...drawing.shapes].filter((s) => s.only !== (isBack ? "in" : "back"));
  return { ...scene, shapes: isBack ? shown.map(turnedRound) : shown };
}

function turnedRound(shape: Shape): Shape {
  if ("arrow" in shape) return { ...shape, arrow: [shape.arrow[1], shape.arrow[0]] };
  if ("arc" in shape) {
    const [x, y, radius, from, to] = shape.arc;
    return { ...shape, arc: [x, y, radius, to, from] };
  }
  return shape;
}
