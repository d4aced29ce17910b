/** What may be done next on a bench job, or why not: the walk, its gates, and the stop. */
import safety from "@shared/safety.json";
import type { Sign, YesNo } from "../events/kinds.gen.ts";
import type { Job } from "../fold/state.ts";
import type { Slug } from "../tables.ts";
import { cellOutWalk } from "./cellOut.ts";
import { complaintCured } from "./complaint.ts";
import { inTray, openConnectors, openGroups } from "./ledger.ts";
import { isCrosswise } from "./prefit.ts";
import { derive, type Procedure, type Step } from "./procedure.ts";
import { UNSAFE_STEPS, whenStopped } from "./stopped.ts";
import { blockingFinal, finalRound, openFinal, pointsRead } from "./tests.ts";
import { isTripped, isWet } from "./wet.ts";

/** Has the shape of every Result of the app. */
type Refused = { readonly ok: false; readonly problem: { readonly slug: Slug; readonly detail?: string } };
export type Allowed<T> = { readonly ok: true; readonly value: T } | Refused;

export const isStopped = (job: Job): boolean => job.stop !== null;

const doneSet = (job: Job): ReadonlySet<string> => new Set(Object.keys(job.steps));

/** The steps of this job in order: all of the procedure, those of a swollen cell among them, or what remains of a stopped job. */
export function walk(job: Job, procedure: Procedure): readonly Step[] {
  if (job.stop !== null) return whenStopped(procedure, doneSet(job), { reason: job.stop.reason, cell: job.cell });
  const steps = derive(procedure);
  return job.cell_lifted === null ? steps : cellOutWalk(procedure, steps);
}

/** The open step; null when none is left. */
export const nextStep = (job: Job, procedure: Procedure): Step | null =>
  walk(job, procedure).find((s) => job.steps[s.id] === undefined) ?? null;

/** The step that "take back" takes back: the last done one before the open step. */
export function lastDone(job: Job, procedure: Procedure): Step | null {
  const steps = walk(job, procedure);
  const open = steps.findIndex((s) => job.steps[s.id] === undefined);
  const before = open === -1 ? steps : steps.slice(0, open);
  return before[before.length - 1] ?? null;
}

/** Whether work on this step may be written now. The nearest danger is named before the order of steps. */
export function mayDo(job: Job, procedure: Procedure, id: string): Allowed<Step> {
  if (job.stage === "handed_over") return refused("job-closed");
  const steps = walk(job, procedure);
  const step = steps.find((s) => s.id === id);
  const open = nextStep(job, procedure);
  if (step === undefined) {
    const isLeftOut = isStopped(job) && derive(procedure).some((s) => s.id === id);
    return isLeftOut ? refused("job-stopped") : refused("step-not-next", openTitle(open));
  }
  const unplugging = mayUnplug(job, procedure, step);
  if (!unplugging.ok) return unplugging;
  if (!isStopped(job) && step.phase === "out") {
    const gate = derive(procedure).find((s) => s.phase === "turn" && s.gate !== null && job.steps[s.id] === undefined);
    if (gate?.gate === "prefit") return refused("prefit-open", gate.title);
    if (gate?.gate === "pair") return refused("pair-open", gate.title);
  }
  if (open?.id !== id) return refused("step-not-next", openTitle(open));
  return allowed(step);
}

/** Liquid is looked for before anything is unplugged; power goes first and stays off while anything else is unplugged. */
export function mayUnplug(job: Job, procedure: Procedure, step: Step): Allowed<Step> {
  const unplugs = step.ops.flatMap((op) => (op.op === "unplug" ? [op.connector] : []));
  if (unplugs.length === 0) return allowed(step);
  const liquid = derive(procedure).find((s) => s.gate === "liquid" && job.steps[s.id] === undefined);
  if (liquid !== undefined && !isStopped(job)) return refused("liquid-gate-open", liquid.title);
  const live = new Set(procedure.connectors.filter((c) => c.power === true && !isOut(job, c.id)).map((c) => c.id));
  for (const connector of unplugs) {
    const isPower = procedure.connectors.some((c) => c.id === connector && c.power === true);
    if (!isPower && live.size > 0) return refused("power-gate-open", connectorNames(procedure, [...live]));
    live.delete(connector);
  }
  return allowed(step);
}

export const isOut = (job: Job, connector: string): boolean => {
  const { out = 0, back = 0 } = job.connectors[connector] ?? {};
  return out > back;
};

export type LiquidFinding = {
  readonly indicator: "untouched" | "tinged" | "red" | "not_visible";
  readonly signs: readonly Sign[];
  /** Photos by what they show: a sign, or `indicator` for the indicator or where it should be. */
  readonly photos: Readonly<Record<string, string>>;
  readonly note: string;
};

/** Pass or stop. Slightly pink is tripped. Every sign needs its photo; an indicator out of sight needs one of where it should be, or a note. After a lead's lift the device is known to be wet, and work continues. */
export function judgeLiquid(finding: LiquidFinding, isLifted: boolean): Allowed<"pass" | "stop"> {
  const tripped = isTripped(finding.indicator);
  const needed = [...(tripped ? ["indicator"] : []), ...finding.signs];
  const missing = needed.filter((what) => finding.photos[what] === undefined);
  if (missing.length > 0) return refused("liquid-photo-missing", `Without a photo: ${missing.join(", ")}.`);
  const hidden = finding.indicator === "not_visible";
  if (hidden && finding.photos.indicator === undefined && finding.note.trim() === "") {
    return refused("liquid-photo-missing", "The indicator cannot be seen: a photo of its place, or a note.");
  }
  return allowed(needed.length > 0 && !isLifted ? "stop" : "pass");
}

export type SafetyAnswers = Readonly<Record<"wet" | "bulging" | "hot", YesNo>>;

/** Pass or stop, as the fold does it (F5.6 `unless`): a lead lifted this very danger, or it ends the work. Hot always does. */
export function judgeSafety(job: Job, answers: SafetyAnswers): "pass" | "stop" {
  const wet = answers.wet === "yes" && job.wet_lifted === null;
  const bulging = answers.bulging === "yes" && job.cell_lifted === null;
  return wet || bulging || answers.hot === "yes" ? "stop" : "pass";
}

/** Whether power may be isolated, or the job stops as unsafe. A swollen cell passes once a lead said that it comes out. */
export const judgeBattery = (job: Job, battery: string): "pass" | "stop" =>
  battery === "sound" || (job.cell_lifted !== null && safety.cell_out_states.includes(battery)) ? "pass" : "stop";

/** The final test may be closed: every point tested, the complaint checked, none against it. `names` makes the list readable. */
export function mayCloseTests(
  job: Job,
  procedure: Procedure,
  names: (points: readonly string[]) => string,
): Allowed<null> {
  const open = openFinal(job);
  if (open.length > 0) return refused("tests-open", `${open.length} open: ${names(open)}.`);
  if (complaintCured(job) === null) return refused("complaint-open");
  const against = blockingFinal(job, procedure);
  return against.length > 0 ? refused("test-blocks", `${names(against)}.`) : allowed(null);
}

/** Whether the final test of this round has readings, which hold for a device that was not opened since. */
export const isFinalRead = (job: Job): boolean => pointsRead(job, finalRound(job)).length > 0;

/** Whether taking these steps back opens the device; the steps at the end only inspect it. */
export const opensDevice = (procedure: Procedure, undone: readonly string[]): boolean =>
  derive(procedure).some((s) => s.phase !== "end" && undone.includes(s.id));

/** Nothing is left over: ledger zero, connectors in, and the old part tagged when the new one is in the device. */
export function mayCloseJob(job: Job, procedure: Procedure): Allowed<null> {
  const groups = openGroups(job.ledger);
  if (groups.length > 0)
    return refused("ledger-open", groups.map((g) => groupText(procedure, g.group, job)).join("; "));
  const isOff = job.stop?.reason === "battery" || job.stop?.reason === "liquid";
  const staysUnplugged = procedure.connectors.filter((c) => c.power === true && isOff);
  const connectors = openConnectors(job.connectors).filter((id) => !staysUnplugged.some((c) => c.id === id));
  if (connectors.length > 0) return refused("connector-open", `${connectorNames(procedure, connectors)}.`);
  // Another station may have closed the test of an earlier round before it knew about this one.
  const unread = isStopped(job) || finalRound(job) === 1 ? [] : openFinal(job);
  if (unread.length > 0)
    return refused(
      "tests-open",
      `Round ${finalRound(job)} has ${unread.length} open. Take back to "Test the whole device".`,
    );
  if (!isStopped(job) && finalRound(job) > 1 && complaintCured(job) === null)
    return refused("complaint-open", `Round ${finalRound(job)}. Take back to "Test the whole device".`);
  const untagged = walk(job, procedure).some((s) => s.gate === "core" && job.steps[s.id] === undefined);
  return untagged ? refused("core-untagged") : allowed(null);
}

export type AfterLift = { readonly undo: readonly string[]; readonly answered: readonly string[] };

/**
 * What a lifted stop leaves to be put right in the walk. Steps done out of turn while closing up are open again, and so
 * are the ones they took back: a device that was closed is opened again. A liquid stop that a lead lifted is the answer to
 * its gate.
 */
export function afterLift(job: Job, procedure: Procedure): AfterLift {
  if (isStopped(job) || job.lifts.length === 0) return { undo: [], answered: [] };
  const steps = derive(procedure);
  const isDone = (id: string | null): id is string => id !== null && job.steps[id] !== undefined;
  const undo = new Set(UNSAFE_STEPS.filter((id) => isDone(id)));
  steps.forEach((s, place) => {
    const opened = s.source ?? s.undoes;
    const first = s.phase === "end" ? 0 : steps.findIndex((o) => o.id === opened);
    const isEarly = isDone(s.id) && first !== -1 && steps.slice(first, place).some((between) => !isDone(between.id));
    if (!isEarly || (s.phase !== "end" && !isDone(opened))) return;
    undo.add(s.id);
    if (isDone(opened)) undo.add(opened);
  });
  const wet = job.liquid.at(-1);
  const tripped = wet !== undefined && isWet(wet);
  const gate = steps.find((s) => s.gate === "liquid" && !isDone(s.id));
  return { undo: [...undo], answered: tripped && gate !== undefined ? [gate.id] : [] };
}

/** The unit that is in the device or meant for it: the one that passed, else the one assigned last. */
export function fittedPart(job: Job): string | null {
  const passed = [...job.tries].reverse().find((t) => t.outcome === "pass" && !isCrosswise(t.action))?.part;
  return passed ?? Object.keys(job.parts).at(-1) ?? null;
}

function groupText(procedure: Procedure, group: string, job: Job): string {
  const fastener = procedure.fasteners.find((f) => f.id === group);
  const count = inTray(job.ledger[group]);
  return `${count} × ${fastener?.name ?? group}${fastener === undefined ? "" : `, pocket ${fastener.pocket}`}`;
}

const connectorNames = (procedure: Procedure, ids: readonly string[]): string =>
  ids.map((id) => procedure.connectors.find((c) => c.id === id)?.name ?? id).join(", ");

const openTitle = (open: Step | null): string | undefined => (open === null ? undefined : `Open now: ${open.title}.`);

const allowed = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });

const refused = (slug: Slug, detail?: string): Refused => ({
  ok: false,
  problem: detail === undefined ? { slug } : { slug, detail },
});
