/** A step's drawing: surfaces, cables, screw places with the number of their pocket, connectors with their names, movements. */
import "../../style/step.css";
import { drawingOf, type Point, type Scene, type Shape, type Side, type Surface } from "../../rules/drawing.ts";
import type { Procedure, Step } from "../../rules/procedure.ts";

type Props = { readonly procedure: Procedure; readonly step: Step };

export function StepDrawing({ procedure, step }: Props) {
  const scene = drawingOf(procedure, step);
  if (scene === null) return null;
  const hasSpots = scene.shapes.some((s) => "spot" in s);
  return (
    <figure class="step-drawing">
      <svg viewBox={`0 0 ${scene.w} ${scene.h}`} role="img" aria-label={spoken(scene, procedure)}>
        {scene.shapes.map((shape, place) => (
          <Drawn key={place} shape={shape} procedure={procedure} />
        ))}
      </svg>
      <figcaption class="soft small">
        {scene.say}.{hasSpots && " The numbers are pockets."}
      </figcaption>
    </figure>
  );
}

function spoken(scene: Scene, procedure: Procedure): string {
  const screws = procedure.fasteners.flatMap((f) => {
    const places = scene.shapes.filter((s) => "spot" in s && s.group === f.id).length;
    return places > 0 ? [`pocket ${f.pocket}: ${f.name}, ${places} places`] : [];
  });
  const plugs = procedure.connectors.flatMap((c) =>
    scene.shapes.some((s) => "plug" in s && s.connector === c.id) ? [c.name] : [],
  );
  return [scene.say, ...screws, ...(plugs.length > 0 ? [`connectors: ${plugs.join(", ")}`] : [])].join(". ");
}

const SURFACES: Readonly<Record<Surface, readonly [fill: string, stroke: string, width: number]>> = {
  frame: ["var(--sheet)", "var(--ink)", 2.5],
  glass: ["var(--paper)", "var(--edge)", 2],
  board: ["var(--deep-wash)", "var(--edge)", 1.5],
  battery: ["var(--sunk)", "var(--ink)", 1.5],
  plate: ["var(--line)", "var(--ink)", 1.5],
  part: ["var(--deep-wash)", "var(--deep)", 3],
  mat: ["none", "var(--line)", 2],
  tool: ["none", "var(--deep)", 2.5],
};

const LINES = {
  cable: { stroke: "var(--ink)", "stroke-width": 3 },
  seal: { stroke: "var(--deep)", "stroke-width": 3, "stroke-dasharray": "7 5" },
  warm: { stroke: "var(--warn)", "stroke-width": 7 },
  limit: { stroke: "var(--stop)", "stroke-width": 2.5, "stroke-dasharray": "2 5" },
  edge: { stroke: "var(--edge)", "stroke-width": 2 },
} as const;

/** One shape of a drawing, in the units of its scene. */
export function Drawn({ shape, procedure }: { readonly shape: Shape; readonly procedure: Procedure }) {
  if ("rect" in shape) {
    const [x, y, width, height, round] = shape.rect;
    const [fill, stroke, thick] = SURFACES[shape.as];
    return (
      <>
        <rect x={x} y={y} width={width} height={height} rx={round} fill={fill} stroke={stroke} stroke-width={thick} />
        {shape.say !== undefined && <Words at={[x + width / 2, y + height / 2 + 4]} say={shape.say} align="middle" />}
      </>
    );
  }
  if ("circle" in shape) {
    const [x, y, radius] = shape.circle;
    const [fill, stroke, thick] = SURFACES[shape.as];
    return (
      <>
        <circle cx={x} cy={y} r={radius} fill={fill} stroke={stroke} stroke-width={thick} />
        {shape.say !== undefined && <Words at={[x, y + 4]} say={shape.say} align="middle" />}
      </>
    );
  }
  if ("line" in shape) {
    return (
      <path d={path(shape.line)} fill="none" stroke-linecap="round" stroke-linejoin="round" {...LINES[shape.as]} />
    );
  }
  if ("spot" in shape) {
    const [x, y] = shape.spot;
    return (
      <>
        <circle cx={x} cy={y} r={8} fill="var(--deep)" stroke="var(--ink)" stroke-width={1.5} />
        <text x={x} y={y + 4} font-size={11} font-weight={750} text-anchor="middle" fill="var(--on-deep)">
          {procedure.fasteners.find((f) => f.id === shape.group)?.pocket}
        </text>
      </>
    );
  }
  if ("plug" in shape) {
    const [x, y] = shape.plug;
    const name = shape.say ?? procedure.connectors.find((c) => c.id === shape.connector)?.name ?? shape.connector;
    return (
      <>
        <rect x={x - 9} y={y - 5} width={18} height={10} rx={2.5} fill="var(--ink)" />
        <Words {...beside(shape.plug, shape.side)} say={name} />
      </>
    );
  }
  if ("text" in shape) return <Words at={shape.text} say={shape.say} align={shape.align ?? "start"} />;
  if ("arrow" in shape) {
    const [from, to] = shape.arrow;
    return <Arrow d={path(shape.arrow)} tip={to} towards={[to[0] - from[0], to[1] - from[1]]} />;
  }
  return <Arc arc={shape.arc} />;
}

type Align = "start" | "middle" | "end";

/** Words with a rim of the paper around them, so that no line runs through a letter. */
function Words({ at, say, align }: { readonly at: Point; readonly say: string; readonly align: Align }) {
  return (
    <text
      x={at[0]}
      y={at[1]}
      font-size={11}
      font-weight={650}
      text-anchor={align}
      fill="var(--ink)"
      stroke="var(--sheet)"
      stroke-width={3}
      stroke-linejoin="round"
      paint-order="stroke"
    >
      {say}
    </text>
  );
}

function beside([x, y]: Point, side: Side): { readonly at: Point; readonly align: Align } {
  switch (side) {
    case "left":
      return { at: [x - 13, y + 4], align: "end" };
    case "right":
      return { at: [x + 13, y + 4], align: "start" };
    case "above":
      return { at: [x, y - 9], align: "middle" };
    case "below":
      return { at: [x, y + 16], align: "middle" };
  }
}

const path = (points: readonly Point[]): string =>
  points.map(([x, y], n) => `${n === 0 ? "M" : "L"}${x} ${y}`).join("");

function Arrow({ d, tip, towards }: { readonly d: string; readonly tip: Point; readonly towards: Point }) {
  const long = Math.hypot(...towards) || 1;
  const [dx, dy] = [towards[0] / long, towards[1] / long];
  const corner = (side: 1 | -1): string =>
    `${(tip[0] - 6 * dx - 6 * side * dy).toFixed(1)} ${(tip[1] - 6 * dy + 6 * side * dx).toFixed(1)}`;
  const point = `${(tip[0] + 5 * dx).toFixed(1)} ${(tip[1] + 5 * dy).toFixed(1)}`;
  return (
    <>
      <path d={d} fill="none" stroke="var(--deep)" stroke-width={4} />
      <path d={`M${point}L${corner(1)}L${corner(-1)}Z`} fill="var(--deep)" />
    </>
  );
}

/** Against the clock when the second angle is the larger. */
function Arc({ arc }: { readonly arc: readonly [number, number, number, number, number] }) {
  const [x, y, radius, from, to] = arc;
  const at = (degrees: number): Point => {
    const turn = (degrees * Math.PI) / 180;
    return [x + radius * Math.cos(turn), y - radius * Math.sin(turn)];
  };
  const [start, tip] = [at(from), at(to)];
  const against = to > from;
  const d = `M${start.map((n) => n.toFixed(1)).join(" ")}A${radius} ${radius} 0 ${Math.abs(to - from) > 180 ? 1 : 0} ${against ? 0 : 1} ${tip.map((n) => n.toFixed(1)).join(" ")}`;
  const turn = (to * Math.PI) / 180;
  const towards: Point = against ? [-Math.sin(turn), -Math.cos(turn)] : [Math.sin(turn), Math.cos(turn)];
  return <Arrow d={d} tip={tip} towards={towards} />;
}
