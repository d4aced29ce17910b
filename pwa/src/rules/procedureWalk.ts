/** Walks a procedure from end to end: what goes out comes back, power goes first and comes last, a stopped job can be closed. */
import type { Procedure, Step } from "./procedure.ts";
import { whenStopped } from "./stopped.ts";

/** What is wrong, at which step (null: the procedure as a whole), and the ids concerned. */
export type Fault = { readonly slug: string; readonly step: string | null; readonly detail: string };

/** The faults found on the way through these steps. */
export function walkFaults(procedure: Procedure, walk: readonly Step[]): readonly Fault[] {
  const power = procedure.connectors.filter((c) => c.power === true).map((c) => c.id);
  const faults: Fault[] = [];
  const out = new Map<string, string>();
  const unplugged = new Map<string, string>();
  for (const { id, gate, ops, phase } of walk) {
    const add = (slug: string | null, detail: string): void => {
      if (slug !== null) faults.push({ slug, step: id, detail });
    };
    if (gate === "prefit" && power.some((plug) => unplugged.has(plug))) add("prefit-unpowered", "");
    const isWholeTest = gate === "final" && phase === "out";
    if (isWholeTest && power.some((plug) => unplugged.has(plug))) add("final-unpowered", "");
    const isolates = ops.flatMap((op) => (op.op === "unplug" && power.includes(op.connector) ? [op.connector] : []));
    if (gate === "power" && isolates.length === 0) add("power-gate-idle", "");
    if (gate !== "power" && isolates[0] !== undefined) add("power-gate-missing", isolates[0]);
    for (const op of ops) {
      if (op.op === "remove" || op.op === "insert") {
        add(toggle(out, op.group, id, op.op === "remove", ["removed-twice", "returned-twice"]), op.group);
      }
      if (op.op === "unplug" || op.op === "plug") {
        const isOut = op.op === "unplug";
        if (!power.includes(op.connector) && power.some((live) => !unplugged.has(live))) {
          add(isOut ? "power-not-first" : "plugged-under-power", op.connector);
        }
        add(toggle(unplugged, op.connector, id, isOut, ["unplugged-twice", "plugged-twice"]), op.connector);
      }
    }
  }
  for (const [detail, step] of out) faults.push({ slug: "fastener-not-returned", step, detail });
  for (const [detail, step] of unplugged) faults.push({ slug: "left-unplugged", step, detail });
  return faults;
}

/** The first step after which a stopped job could not be closed by the steps that remain. */
export function stopFaults(procedure: Procedure, walk: readonly Step[]): readonly Fault[] {
  for (const [place, step] of walk.entries()) {
    if (step.phase !== "in" && step.phase !== "turn") break;
    const done = walk.slice(0, place + 1);
    const ids = new Set(done.map((earlier) => earlier.id));
    const remaining = whenStopped(procedure, ids, { reason: "customer", cell: null }).filter(
      (left) => !ids.has(left.id),
    );
    const [first] = walkFaults(procedure, [...done, ...remaining]);
    if (first !== undefined) {
      return [{ slug: "stop-strands", step: step.id, detail: `${first.slug}: ${first.detail}` }];
    }
  }
  return [];
}

/** Take something out or put it back. Returns the slug when it already was. */
function toggle(
  out: Map<string, string>,
  what: string,
  by: string,
  takes: boolean,
  [twiceOut, twiceIn]: readonly [string, string],
): string | null {
  if (takes === out.has(what)) return takes ? twiceOut : twiceIn;
  if (takes) out.set(what, by);
  else out.delete(what);
  return null;
}
