/** Marks of a device in words: what, on which side, in which zone. */
import type { Side } from "../events/kinds.gen.ts";

const ROWS = ["upper", "middle", "lower"] as const;
const COLUMNS = ["left", "middle", "right"] as const;

/** Nine zones of an outline; an edge has no middle. */
export function zonesOf(
  side: Side,
): readonly { readonly name: string; readonly x_pm: number; readonly y_pm: number }[] {
  const at = side === "edge" ? [30, 500, 970] : [170, 500, 830];
  return ROWS.flatMap((_, r) =>
    COLUMNS.map((_, c) => ({
      name: zoneName(at[c] as number, at[r] as number),
      x_pm: at[c] as number,
      y_pm: at[r] as number,
    })),
  ).filter((zone) => side !== "edge" || zone.name !== "middle");
}

/** Where a mark is, in words. */
export function zoneName(xPm: number, yPm: number): string {
  const row = ROWS[Math.min(2, Math.floor((yPm * 3) / 1001))] as string;
  const column = COLUMNS[Math.min(2, Math.floor((xPm * 3) / 1001))] as string;
  if (row === "middle" && column === "middle") return "middle";
  return `${row} ${column}`;
}
