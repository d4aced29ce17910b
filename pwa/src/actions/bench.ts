/** Doing steps and taking them back, taking a job over, opening it again. */
import { ownOnTop, state } from "../current.ts";
import { type Event, isEvent } from "../events/envelope.ts";
import { workOf } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { pulledAbout } from "../log/pulled.ts";
import { type Result, refuse } from "../problem.ts";
import { isStopped, lastDone, mayDo, opensDevice } from "../rules/bench.ts";
import { type Booking, bookings, takingBack } from "../rules/ledger.ts";
import type { Step } from "../rules/procedure.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { finalAnew } from "./tests.ts";

type Done = Result<readonly Event[]>;

/** The events of a finished step: what it books, then that it is done. */
export const doneEvents = (code: string, step: Step, booked: readonly Booking[]): readonly NewEvent[] => [
  ...booked.map((b) => bookingEvent(code, step.id, b)),
  { kind: "step.done", job: code, body: { step: step.id } },
];

/** Finish a step that is no gate. `counted` where fewer fasteners came out than the procedure expects. */
export const finishStep = onePress(
  async (code: string, id: string, counted: Readonly<Record<string, number>> = {}): Promise<Done> => {
    const work = workOf(code);
    if (!work.ok) return work;
    const { job, procedure } = work.value;
    const step = mayDo(job, procedure, id);
    if (!step.ok) return step;
    const short = Object.entries(counted).map(([group, count]): NewEvent => {
      const fastener = procedure.fasteners.find((f) => f.id === group);
      const note = `${count} of ${fastener?.count ?? "?"} ${fastener?.name ?? group} found at opening`;
      return { kind: "note.added", job: code, body: { note } };
    });
    return act(() => [...short, ...doneEvents(code, step.value, bookings(step.value, procedure, job.ledger, counted))]);
  },
);

/** Take the last done step back: what it booked is booked the other way round. Opening a tested device asks for a new test. */
export const takeBack = onePress(async (code: string): Promise<Done> => {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure } = work.value;
  const step = lastDone(job, procedure);
  if (step === null || job.stage === "handed_over") return refuse(step === null ? "step-not-next" : "job-closed");
  const booked = await bookedBy(code, step.id);
  return act(() => [
    ...takingBack(booked, job.ledger).map((b) => bookingEvent(code, step.id, b)),
    { kind: "step.undone", job: code, body: { step: step.id } },
    ...(opensDevice(procedure, [step.id]) ? finalAnew(code, job, `Taken back: ${step.title}`) : []),
  ]);
});

/** Go on with a job that another person has on the bench. */
export const takeOver = onePress(async (code: string): Promise<Done> => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  return act(() => [{ kind: "job.taken_over", job: code, body: {} }]);
});

/** Back from ready to the bench, before the device is handed over: it is tested again, since nobody can say what is touched now. */
export const openAgain = onePress(async (code: string): Promise<Done> => {
  const work = workOf(code);
  if (!work.ok) return work;
  const { job, procedure } = work.value;
  if (job.stage !== "ready" || isStopped(job)) return refuse("stage-not-allowed");
  const { device } = job;
  return act(() => [
    { kind: "job.started", job: code, body: { procedure: procedure.id, revision: procedure.rev } },
    ...["leftover", "final"]
      .filter((step) => job.steps[step] !== undefined)
      .map((step): NewEvent => ({ kind: "step.undone", job: code, body: { step } })),
    ...finalAnew(code, job, "Opened again on the bench"),
    ...(device === null ? [] : [moved(device, "bench")]),
  ]);
});

/** What a step booked when it was last done, from the log: pulled entries first, own ones on top (F4.2). */
async function bookedBy(code: string, step: string): Promise<readonly Booking[]> {
  const pulled = (await pulledAbout(code)).flatMap((p) => (isEvent(p.event) ? [p.event] : []));
  const known = new Set(pulled.map((e) => `${e.incarnation}.${e.seq}`));
  const own = ownOnTop.value.filter((e) => e.job === code && !known.has(`${e.incarnation}.${e.seq}`));
  const all = [...pulled, ...own].filter((e) => e.known && e.body.step === step);
  const since = all.slice(all.findLastIndex((e) => e.kind === "step.undone") + 1);
  return since.flatMap((e) => (isBooking(e.kind) ? [{ ...e.body, kind: e.kind } as unknown as Booking] : []));
}

const isBooking = (kind: string): boolean => /^(fastener\.(removed|returned)|connector\.(un)?plugged)$/.test(kind);

function bookingEvent(code: string, step: string, b: Booking): NewEvent {
  if ("connector" in b) return { kind: b.kind, job: code, body: { step, connector: b.connector } };
  return { kind: b.kind, job: code, body: { step, group: b.group, pocket: b.pocket, count: b.count } };
}
