/** What remains to be done on a stopped job. The words for an unsafe battery are those of shared/safety.json. */
import safety from "@shared/safety.json";
import { derive, type Op, type Procedure, type Step, step } from "./procedure.ts";

/** Why a job is stopped, and what is known of its battery (`cell` of the job record). */
export type Stopped = { readonly reason: string; readonly cell: string | null };

/**
 * The steps that are left. Nothing is pressed, seated or screwed on an unsafe battery. A wet device is closed once its
 * battery is unplugged. Any other is closed as it was opened, once a trial in progress is taken back; the old part is
 * tagged if the new one is in. A battery that stopped the job, or that of a wet device, stays unplugged.
 */
export function whenStopped(procedure: Procedure, done: ReadonlySet<string>, stopped: Stopped): readonly Step[] {
  if (stopped.reason === "battery" && stopped.cell !== "out") return unsafeWay(procedure, done);
  const isWet = stopped.reason === "liquid";
  const power = powerOf(procedure);
  const staysOut = (op: Op): boolean =>
    (isWet || stopped.reason === "battery") && op.op === "plug" && power.has(op.connector);
  const steps = derive(procedure);
  const movedOver = procedure.turn.length > 0 && procedure.turn.every((row) => done.has(row.id));
  const isolating = isWet ? isolatingSteps(procedure, done) : new Set<string>();
  const remaining = steps.filter((s) => {
    const takesBack = s.phase === "turn" && s.undoes !== null && done.has(s.undoes);
    const closes = s.source !== null && done.has(s.source) && s.id === `${s.source}-back`;
    const tags = movedOver && s.id === "core";
    return isolating.has(s.id) || takesBack || closes || tags || s.id === "leftover";
  });
  const left = remaining.flatMap((s) => {
    const ops = s.ops.filter((op) => !staysOut(op));
    return ops.length === 0 && s.ops.length > 0 ? [] : [ops.length === s.ops.length ? s : { ...s, ops }];
  });
  return isWet && isLiveAgain(procedure, done) ? [unsafeStep("unplug", "unplug"), ...left] : left;
}

/** Ids of the steps of the way of an unsafe battery: a lifted stop takes them back. */
export const UNSAFE_STEPS = ["aside", "unplug", "label", "bring"].map((id) => `unsafe-${id}`);

function unsafeWay(procedure: Procedure, done: ReadonlySet<string>): readonly Step[] {
  const opened = derive(procedure).some((s) => done.has(s.id) && s.ops.length > 0);
  // A step that was answered stays in the walk, or the walk would change in the person's hands.
  const isLive = done.has("unsafe-unplug") || !isPowerOut(procedure, done);
  return [
    ...(opened ? [unsafeStep("aside")] : []),
    ...(opened && isLive ? [unsafeStep("unplug", "unplug")] : []),
    unsafeStep("label"),
    unsafeStep("bring", "bring"),
  ];
}

function unsafeStep(name: "aside" | "unplug" | "label" | "bring", gate?: "unplug" | "bring"): Step {
  return step({ id: `unsafe-${name}`, ...safety.steps[name], ...(gate === undefined ? {} : { gate }) }, "out");
}

/** For an open, wet device: the steps up to the one that unplugs its battery. Before it is open there are none. */
function isolatingSteps(procedure: Procedure, done: ReadonlySet<string>): ReadonlySet<string> {
  const power = powerOf(procedure);
  const gate = procedure.in.findIndex((row) => row.gate === "liquid");
  const unplugs = procedure.in.findIndex((row) => row.ops?.some((op) => op.op === "unplug" && power.has(op.connector)));
  const isOpen = gate !== -1 && procedure.in.slice(0, gate).every((row) => done.has(row.id));
  return new Set(isOpen ? procedure.in.slice(gate + 1, unplugs + 1).map((row) => row.id) : []);
}

/** Whether power was unplugged on the way in and is plugged in again, in a device that is not closed. */
function isLiveAgain(procedure: Procedure, done: ReadonlySet<string>): boolean {
  const steps = derive(procedure);
  const wasOut = procedure.in.some((row) => row.gate === "power" && done.has(row.id));
  const trial = steps.some((s) => s.phase === "turn" && s.undoes !== null && done.has(s.undoes) && !done.has(s.id));
  const isOpen = steps.some((s) => s.id.endsWith("-back") && done.has(s.source ?? "") && !done.has(s.id));
  return wasOut && !trial && isOpen && (done.has("unsafe-unplug") || !isPowerOut(procedure, done));
}

/** Whether every power connector is out after these steps. */
export function isPowerOut(procedure: Procedure, done: ReadonlySet<string>): boolean {
  const live = powerOf(procedure);
  const isPower = new Set(live);
  for (const op of derive(procedure).flatMap((s) => (done.has(s.id) ? s.ops : []))) {
    if (op.op === "unplug") live.delete(op.connector);
    if (op.op === "plug" && isPower.has(op.connector)) live.add(op.connector);
  }
  return live.size === 0;
}

const powerOf = (procedure: Procedure): Set<string> =>
  new Set(procedure.connectors.filter((c) => c.power === true).map((c) => c.id));
