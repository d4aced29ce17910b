/** Drawing by hand: new shapes, the points by which a shape is held, and what pulling one of them does. Whole units. */
import type { Point, Shape } from "./drawing.ts";

export type ShapeKind = "rect" | "circle" | "line" | "spot" | "plug" | "arrow" | "arc" | "text";

export const SHAPE_KINDS: readonly { readonly value: ShapeKind; readonly name: string }[] = [
  { value: "rect", name: "Area" },
  { value: "circle", name: "Circle" },
  { value: "line", name: "Line" },
  { value: "spot", name: "Screw place" },
  { value: "plug", name: "Connector" },
  { value: "arrow", name: "Movement" },
  { value: "arc", name: "Swing" },
  { value: "text", name: "Words" },
];

export const kindOf = (shape: Shape): ShapeKind =>
  SHAPE_KINDS.find(({ value }) => value in shape && !(value === "text" && "as" in shape))?.value ?? "text";

/** A new shape with its first point here. `first` are the group and the connector to begin with. */
export function newShape(
  kind: ShapeKind,
  [x, y]: Point,
  first: { readonly group: string; readonly connector: string },
): Shape {
  switch (kind) {
    case "rect":
      return { rect: [x, y, 40, 24, 3], as: "plate" };
    case "circle":
      return { circle: [x, y, 12], as: "part" };
    case "line":
      return { line: [[x, y], [x + 40, y]], as: "cable" }; // biome-ignore format: two points
    case "spot":
      return { spot: [x, y], group: first.group };
    case "plug":
      return { plug: [x, y], connector: first.connector, side: "right" };
    case "arrow":
      return { arrow: [[x, y], [x + 40, y]] }; // biome-ignore format: two points
    case "arc":
      return { arc: [x, y, 30, 0, 90] };
    case "text":
      return { text: [x, y], say: "" };
  }
}

/** The points by which a shape is held: the first moves it, where it has a size the last changes that. */
export function handlesOf(shape: Shape): readonly Point[] {
  if ("rect" in shape) {
    const [x, y, width, height] = shape.rect;
    return [[x, y], [x + width, y + height]]; // biome-ignore format: two points
  }
  if ("circle" in shape) {
    const [x, y, radius] = shape.circle;
    return [[x, y], [x + radius, y]]; // biome-ignore format: two points
  }
  if ("arc" in shape) {
    const [x, y, radius] = shape.arc;
    return [[x, y], [x + radius, y]]; // biome-ignore format: two points
  }
  if ("line" in shape) return shape.line;
  if ("arrow" in shape) return shape.arrow;
  if ("spot" in shape) return [shape.spot];
  return ["plug" in shape ? shape.plug : shape.text];
}

/** The shape with one of those points pulled to another place. */
export function pulled(shape: Shape, handle: number, [x, y]: Point): Shape {
  if ("rect" in shape) {
    const [left, top, width, height, round] = shape.rect;
    if (handle === 0) return { ...shape, rect: [x, y, width, height, round] };
    return { ...shape, rect: [left, top, Math.max(2, x - left), Math.max(2, y - top), round] };
  }
  if ("circle" in shape) {
    const [cx, cy, radius] = shape.circle;
    return { ...shape, circle: handle === 0 ? [x, y, radius] : [cx, cy, radiusTo(cx, cy, x, y)] };
  }
  if ("arc" in shape) {
    const [cx, cy, radius, from, to] = shape.arc;
    return { ...shape, arc: handle === 0 ? [x, y, radius, from, to] : [cx, cy, radiusTo(cx, cy, x, y), from, to] };
  }
  if ("line" in shape) return { ...shape, line: shape.line.map((point, at) => (at === handle ? [x, y] : point)) };
  if ("arrow" in shape) {
    const [from, to] = shape.arrow;
    return { ...shape, arrow: handle === 0 ? [[x, y], to] : [from, [x, y]] };
  }
  if ("spot" in shape) return { ...shape, spot: [x, y] };
  return "plug" in shape ? { ...shape, plug: [x, y] } : { ...shape, text: [x, y] };
}

/** A line with one point more, or one fewer; it keeps two. */
export function withPoints(shape: Shape, by: 1 | -1): Shape {
  if (!("line" in shape)) return shape;
  if (by === -1) return shape.line.length > 2 ? { ...shape, line: shape.line.slice(0, -1) } : shape;
  const [x, y] = shape.line[shape.line.length - 1] ?? [0, 0];
  return { ...shape, line: [...shape.line, [x, y + 20]] };
}

const radiusTo = (cx: number, cy: number, x: number, y: number): number =>
  Math.max(2, Math.round(Math.hypot(x - cx, y - cy)));
