/** A shape in a few words, to be found in a list. */
import type { Shape } from "../../rules/drawing.ts";
import { kindOf, SHAPE_KINDS } from "../../rules/drawingEdit.ts";
import type { Procedure } from "../../rules/procedure.ts";

export function shapeName(shape: Shape, procedure: Procedure): string {
  const kind = SHAPE_KINDS.find((k) => k.value === kindOf(shape))?.name ?? "Shape";
  if ("spot" in shape) return `${kind}: ${procedure.fasteners.find((f) => f.id === shape.group)?.name ?? shape.group}`;
  if ("plug" in shape)
    return `${kind}: ${procedure.connectors.find((c) => c.id === shape.connector)?.name ?? shape.connector}`;
  if ("text" in shape) return `${kind}: ${shape.say || "none yet"}`;
  if ("as" in shape) return `${kind}: ${shape.as}${"say" in shape && shape.say !== undefined ? `, ${shape.say}` : ""}`;
  return kind;
}
