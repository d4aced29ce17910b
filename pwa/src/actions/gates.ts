/** The gates of a bench job: each writes what was found, and its step only when it passes. */
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { Battery, CoreCondition, Purpose, ShippingCaution, Traces } from "../events/kinds.gen.ts";
import { triesOf } from "../facts/prefit.ts";
import { trayOf } from "../facts/things.ts";
import { type Work, workOf } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import {
  fittedPart,
  isOut,
  isStopped,
  judgeBattery,
  judgeLiquid,
  judgeSafety,
  type LiquidFinding,
  mayCloseJob,
  mayCloseTests,
  mayDo,
  type SafetyAnswers,
} from "../rules/bench.ts";
import { takesCellOut } from "../rules/cellOut.ts";
import { bookings } from "../rules/ledger.ts";
import { failedUnits } from "../rules/prefit.ts";
import type { Step } from "../rules/procedure.ts";
import { recheckOf } from "../rules/recheck.ts";
import { finalRound } from "../rules/tests.ts";
import { becauseWord } from "../tables/testPoints.ts";
import { pointNames } from "../words/points.ts";
import { act } from "./act.ts";
import { doneEvents } from "./bench.ts";
import { setApart } from "./judge.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { readingEvent } from "./tests.ts";

type Done = Result<readonly Event[]>;
type At = Work & { readonly step: Step };

/** The three questions before any test or heat: a yes stops the job, unless a lead lifted that very danger. `answer-missing`. */
export const checkSafety = onePress(
  async (code: string, id: string, answers: Partial<SafetyAnswers>, photos: readonly string[]): Promise<Done> => {
    const at = atStep(code, id);
    if (!at.ok) return at;
    const { wet, bulging, hot } = answers;
    if (wet === undefined || bulging === undefined || hot === undefined)
      return refuse("answer-missing", "All three: wet, bulging, hot or smelling.");
    const passes = judgeSafety(at.value.job, { wet, bulging, hot }) === "pass";
    return act(() => [
      { kind: "safety.checked", job: code, body: { at: "bench", wet, bulging, hot, photos } },
      ...(passes ? doneEvents(code, at.value.step, []) : []),
    ]);
  },
);

/** Liquid: any sign stops the job. `answer-missing`, `liquid-photo-missing`. */
export const inspectLiquid = onePress(async (code: string, id: string, finding: LiquidFinding): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const judged = judgeLiquid(finding, at.value.job.wet_lifted !== null);
  if (!judged.ok) return judged;
  const note = finding.note.trim();
  const photos = [...new Set(Object.values(finding.photos))];
  const body = { indicator: finding.indicator, signs: finding.signs, photos, ...(note === "" ? {} : { note }) };
  return act(() => [
    { kind: "liquid.inspected", job: code, body },
    ...(judged.value === "pass" ? doneEvents(code, at.value.step, booked(at.value)) : []),
  ]);
});

/** Power: a battery that is not sound stops the job; a sound one is unplugged. */
export const isolatePower = onePress(
  async (code: string, id: string, battery: Battery, photos: readonly string[]): Promise<Done> => {
    const at = atStep(code, id);
    if (!at.ok) return at;
    const passes = judgeBattery(at.value.job, battery) === "pass";
    return act(() => [
      { kind: "power.isolated", job: code, body: { battery, photos, step: id } },
      ...(passes ? doneEvents(code, at.value.step, booked(at.value)) : []),
    ]);
  },
);

/** Of an unsafe or wet device: its battery was unplugged, or left plugged because that is safer. */
export const unplugUnsafe = onePress(async (code: string, id: string, unplugged: boolean): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { job, procedure, step } = at.value;
  const live = procedure.connectors.filter((c) => c.power === true && !isOut(job, c.id));
  return act(() => [
    ...(unplugged ? live : []).map(
      (c): NewEvent => ({ kind: "connector.unplugged", job: code, body: { step: id, connector: c.id } }),
    ),
    ...(unplugged
      ? []
      : [{ kind: "note.added" as const, job: code, body: { note: "The battery was left plugged in." } }]),
    ...doneEvents(code, step, []),
  ]);
});

/** The device lies in the safe place. New units that were on trial go off it, to the bench; the tray stays with the job. */
export const bringToSafePlace = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { job, step } = at.value;
  const { device } = job;
  const units = Object.keys(job.parts).filter((part) => isAt(part, code));
  return act(() => [
    ...(device === null ? [] : [moved(device, "safe")]),
    ...units.map((part): NewEvent => moved(part, "bench")),
    ...doneEvents(code, step, []),
  ]);
});

/** The unsafe cell is out: it gets its own code, which goes on the container, and lies in the safe place. */
export const tagCell = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { job, procedure } = at.value;
  const old = takesCellOut(procedure) ? procedure.core : { name: "Battery", kind: "battery", energy_mwh: undefined };
  return act((pen) => {
    const core = pen.mint("C");
    const energy = old.energy_mwh === undefined ? {} : { energy_mwh: old.energy_mwh };
    const tagged = {
      core,
      name: old.name,
      part_kind: old.kind,
      condition: "swollen" as const,
      purpose: "battery" as const,
      shipping_caution: "battery_damaged" as const,
      photos: job.power.at(-1)?.photos.slice(0, 8) ?? [],
      ...energy,
    };
    return [{ kind: "core.tagged", job: code, body: tagged }, moved(core, "safe")];
  });
});

/** The old part that is the unsafe cell of this job, once it has its code. */
export const cellCore = (job: Work["job"]): string | null =>
  Object.keys(job.cores).findLast((core) => state.value.thing.get(core)?.condition === "swollen") ?? null;

/**
 * The cell lies in its container, labelled. A procedure that is not about the battery ends here: the device has none now,
 * and is closed without it. `core-untagged`.
 */
export const containCell = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { job, procedure, step } = at.value;
  const core = cellCore(job);
  if (core === null) return refuse("core-untagged");
  return act(() => [
    { kind: "cell.taken_out", job: code, body: { core, step: id } },
    ...doneEvents(code, step, []),
    ...(takesCellOut(procedure) ? [] : [withoutBattery(code)]),
  ]);
});

const withoutBattery = (code: string): NewEvent => ({
  kind: "job.stopped",
  job: code,
  body: { reason: "battery", note: "The unsafe battery was taken out. The device has none now." },
});

/** The paired part sits in the new assembly. */
export const movePair = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { pair } = at.value.step;
  if (pair === null) return refuse("pair-open");
  return act(() => [
    { kind: "pair.moved", job: code, body: { pair, step: id } },
    ...doneEvents(code, at.value.step, booked(at.value)),
  ]);
});

/** Close the final test. `tests-open`, `complaint-open`, `test-blocks`. */
export const closeTests = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const may = mayCloseTests(at.value.job, at.value.procedure, pointNames);
  if (!may.ok) return may;
  return act(() => doneEvents(code, at.value.step, []));
});

export type CoreEntry = {
  readonly condition: CoreCondition;
  readonly damagedBattery: boolean;
  readonly photos: readonly string[];
  /** Only asked when no part of this shop's stock is on the job. */
  readonly supplier: string | null;
};

/** Tag the old part: a new core code, where it is, and what it may be shipped as. `answer-missing` without a supplier. */
export const tagCore = onePress(async (code: string, id: string, entry: CoreEntry): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { core: old } = at.value.procedure;
  const part = fittedPart(at.value.job);
  const stocked = part === null ? undefined : state.value.thing.get(part);
  const supplier = stocked?.supplier ?? entry.supplier;
  if (supplier === null) return refuse("answer-missing", "The supplier of the new part.");
  const hasBattery = old.shipping_caution !== "none";
  const isDamaged = hasBattery && entry.damagedBattery;
  const caution = isDamaged ? "battery_damaged" : old.shipping_caution;
  return act((pen) => {
    const core = pen.mint("C");
    const body = {
      core,
      name: old.name,
      part_kind: old.kind,
      supplier,
      condition: entry.condition,
      purpose: old.purpose as Purpose,
      shipping_caution: caution as ShippingCaution,
      photos: entry.photos,
      ...(part === null ? {} : { replaced_by: part }),
      ...(old.energy_mwh === undefined ? {} : { energy_mwh: old.energy_mwh }),
    };
    return [
      { kind: "core.tagged", job: code, body },
      { kind: "thing.moved", body: { thing: core, to: isDamaged ? "safe" : "bench", after: [] } },
    ];
  });
});

/** The tagged core is in its packaging: the step is done. `core-untagged`. */
export const packCore = onePress(async (code: string, id: string): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  if (Object.keys(at.value.job.cores).length === 0) return refuse("core-untagged");
  return act(() => doneEvents(code, at.value.step, []));
});

/** Why there is no old part to tag. */
export const NO_CORE = {
  in_device: "The old part is back in the device.",
  customer: "The old part goes back to the customer.",
  none: "There was no old part in the device.",
} as const;

/** There is no core. Only in a stopped job can the old part be back in the device. */
export const leaveCore = onePress(async (code: string, id: string, why: keyof typeof NO_CORE): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  if (why === "in_device" && !isStopped(at.value.job)) return refuse("core-untagged");
  return act(() => [
    { kind: "note.added", job: code, body: { note: NO_CORE[why] } },
    ...doneEvents(code, at.value.step, []),
  ]);
});

/**
 * Tested once more after closing. Without a failure all points that worked work still; with one they are entered as failing,
 * and the gate waits. The whole test of this round comes first. `tests-open`, `complaint-open`, `test-blocks`.
 */
export const recheck = onePress(async (code: string, id: string, failing: readonly string[] = []): Promise<Done> => {
  const at = atStep(code, id);
  if (!at.ok) return at;
  const { job, procedure, step } = at.value;
  if (failing.length > 0)
    return act(() =>
      failing.map((point) => readingEvent(code, "final", { point, result: "fail", why: becauseWord.lost })),
    );
  const may = mayCloseTests(job, procedure, pointNames);
  if (!may.ok) return may;
  const { asked } = recheckOf(job, procedure, step);
  return act(() => [
    { kind: "final.rechecked", job: code, body: { round: finalRound(job), points: asked } },
    ...doneEvents(code, step, []),
  ]);
});

/**
 * Nothing left over, neither on the bench nor of the tests on the device. Tray and device go to the shelf, and units that
 * are not in the device go back there too; one that failed stays apart. `leftover-not-looked`, `traces-open`.
 */
export const closeJob = onePress(
  async (
    code: string,
    id: string,
    looked: boolean,
    photos: readonly string[],
    traces: Traces | null,
  ): Promise<Done> => {
    const at = atStep(code, id);
    if (!at.ok) return at;
    const { job, procedure, step } = at.value;
    const may = mayCloseJob(job, procedure);
    if (!may.ok) return may;
    if (!looked) return refuse("leftover-not-looked");
    if (traces === null) return refuse("traces-open");
    const inDevice = Object.keys(job.cores).length > 0 || !isStopped(job) ? fittedPart(job) : null;
    const spare = Object.keys(job.parts).filter((part) => part !== inDevice && isAt(part, code));
    const failed = failedUnits(triesOf(job));
    const tray = trayOf(code);
    const { device } = job;
    return act(() => [
      { kind: "leftover.checked", job: code, body: { photos, traces } },
      ...doneEvents(code, step, []),
      ...(tray === null ? [] : [moved(tray, "shelf")]),
      ...(device === null ? [] : [moved(device, "shelf")]),
      ...spare.flatMap((part): readonly NewEvent[] => {
        const unit = failed.find((f) => f.part === part);
        return unit === undefined ? [moved(part, "shelf")] : setApart(unit, "doubtful");
      }),
    ]);
  },
);

const isAt = (thing: string, place: string): boolean =>
  Object.values(state.value.thing.get(thing)?.heads ?? {}).some((h) => h.to === place);

const booked = ({ job, procedure, step }: At) => bookings(step, procedure, job.ledger);

function atStep(code: string, id: string): Result<At> {
  const work = workOf(code);
  if (!work.ok) return work;
  const step = mayDo(work.value.job, work.value.procedure, id);
  return step.ok ? { ok: true, value: { ...work.value, step: step.value } } : step;
}
