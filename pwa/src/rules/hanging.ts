/** What hangs by its cables while a step is done, and how far it may be swung. */
import { derive, type Op, type Procedure, type Step } from "./procedure.ts";

export type Hanging = { readonly what: string; readonly degrees: number };

/**
 * A display or glass hangs from the step that swings it open until it is lifted off, and on the way out from when it is
 * held to the frame until it is closed. It hangs during the step that begins this and during the one that ends it.
 */
export function hanging(procedure: Procedure, done: ReadonlySet<string>, now: Step): readonly Hanging[] {
  const limits = limitsOf(procedure);
  const before = derive(procedure).filter((s) => done.has(s.id) && s.id !== now.id);
  const held = before.flatMap((s) => s.ops).reduce(after, new Set<string>());
  const whole = new Set([held, ...now.ops.map((op) => after(held, op))].flatMap((all) => [...all]));
  return [...limits].flatMap(([what, degrees]) => (whole.has(what) ? [{ what, degrees }] : []));
}

/** How far each thing may be swung that is opened on its cables. */
const limitsOf = (procedure: Procedure): ReadonlyMap<string, number> =>
  new Map(
    procedure.in
      .flatMap((row) => row.ops ?? [])
      .flatMap((op) => (op.op === "lift" && op.angle_max_deg !== undefined ? [[op.what, op.angle_max_deg]] : [])),
  );

/** What hangs after an operation. Swung open or shut by an angle, lifted off or held to the frame without one. */
function after(held: ReadonlySet<string>, op: Op): ReadonlySet<string> {
  if (op.op !== "lift" && op.op !== "seat") return held;
  const isSwung = op.angle_max_deg !== undefined;
  const hangs = op.op === "lift" ? isSwung : !isSwung;
  return hangs ? new Set([...held, op.what]) : new Set([...held].filter((what) => what !== op.what));
}
