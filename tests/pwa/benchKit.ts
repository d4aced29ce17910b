/** A bench job played event by event through the real format and fold, and the made-up procedure with five bracket screws. */
import { mint } from "@pwa/codes/codes.ts";
import { isEvent, parse } from "@pwa/events/envelope.ts";
import { fold } from "@pwa/fold/fold.ts";
import { EMPTY, type Job, type State } from "@pwa/fold/state.ts";
import type { NewEvent } from "@pwa/log/append.ts";
import { nextStep } from "@pwa/rules/bench.ts";
import { type Booking, bookings } from "@pwa/rules/ledger.ts";
import type { Fastener, Procedure, Step } from "@pwa/rules/procedure.ts";
import battery from "@shared/procedures/quillet5-battery.json";
import display from "@shared/procedures/quillet5-display.json";
import { named } from "./texts.ts";

export const JOB = mint("J", "7K2", 1).code;
export const DEVICE = mint("D", "7K2", 2).code;
export const TRAY = mint("T", "7K2", 3).code;
export const PART = mint("P", "7K2", 4).code;
export const SECOND_PART = mint("P", "7K2", 5).code;
export const PHOTO = "a".repeat(64);

export const SHIPPED: readonly Procedure[] = [display as unknown as Procedure, battery as unknown as Procedure];
export const DISPLAY = SHIPPED[0] as Procedure;

/** Three bracket lengths, button bracket, base, and four display cables: trade check values, common practice, no source. */
export const BRACKETS: Procedure = {
  id: "bracket-check",
  rev: 1,
  title: "Display, bracket screws",
  model: "Test device",
  minutes: 20,
  part: { kind: "test-display", name: "Display", serves: ["display", "touch", "front_sensor", "button"] },
  core: { name: "Display", kind: "test-display", purpose: "credit", shipping_caution: "none" },
  fasteners: [
    screw("base", 2, 3500, 1, "five-point 0.8"),
    screw("bracket-short", 3, 1200, 2),
    screw("bracket-middle", 1, 1700, 3),
    screw("bracket-long", 1, 3100, 4),
    screw("button-bracket", 2, 1900, 5, "cross 00"),
  ],
  connectors: [
    { id: "battery", name: "Battery", power: true, serves: ["battery"] },
    { id: "button", name: "Button", serves: ["button"] },
    { id: "front", name: "Front camera and sensor", serves: ["front_sensor"] },
    { id: "panel", name: "Panel", serves: ["display"] },
    { id: "touch", name: "Touch", serves: ["touch"] },
  ],
  pairs: [],
  in: [
    { ...written("base", "Base screws"), ops: [{ op: "remove", group: "base" }] },
    { ...written("liquid", "Look for liquid"), gate: "liquid" },
    { ...written("power", "Isolate power"), gate: "power", ops: [{ op: "unplug", connector: "battery" }] },
    {
      ...written("bracket", "Bracket off"),
      ops: [
        { op: "remove", group: "bracket-short" },
        { op: "remove", group: "bracket-middle" },
        { op: "remove", group: "bracket-long" },
      ],
    },
    {
      ...written("cables", "Four display cables"),
      ops: (["button", "front", "panel", "touch"] as const).map((connector) => ({ op: "unplug" as const, connector })),
    },
    { ...written("button-bracket", "Button bracket off"), ops: [{ op: "remove", group: "button-bracket" }] },
  ],
  turn: [],
  closing: [],
};

function screw(id: string, count: number, length_um: number, pocket: number, drive = "three-point 0.6"): Fastener {
  return { id, name: id, drive, thread: "M1.2", head: "pan", length_um, count, pocket, where: "where it sits" };
}

function written(id: string, title: string) {
  return { id, title, say: [title], tools: [], cautions: [] };
}

/** A state that grows by events, all of them checked against the format. */
export class Play {
  state: State = EMPTY;
  #seq = 0;

  constructor(readonly procedure: Procedure) {
    this.write({
      kind: "job.booked",
      job: JOB,
      body: {
        device: DEVICE, card: "a".repeat(20), contact: "b".repeat(20), model: procedure.model, complaint: "No picture",
        lock: "unlocked", consents: [], promised_at_ms: 1, ticket: "0".repeat(26),
      },
    }); // biome-ignore format: one booking
    this.write({ kind: "job.started", job: JOB, body: { procedure: procedure.id, revision: procedure.rev } });
  }

  get job(): Job {
    return this.state.job.get(JOB) as Job;
  }

  heads(thing: string): Readonly<Record<string, { readonly to: string }>> {
    return this.state.thing.get(thing)?.heads ?? {};
  }

  get open(): Step | null {
    return nextStep(this.job, this.procedure);
  }

  write(...events: readonly NewEvent[]): void {
    for (const { kind, job, body } of events) {
      this.#seq += 1;
      const whole = {
        v: 1,
        kind,
        station: "S001",
        incarnation: "7K2",
        seq: this.#seq,
        staff: "W001",
        at_ms: this.#seq,
        job: job ?? null,
        body: named(kind, body),
      };
      const event = parse(JSON.stringify(whole));
      if (!isEvent(event)) throw new Error(`${event.slug} ${event.pointer} in ${JSON.stringify(whole)}`);
      this.state = fold(this.state, [{ incarnation: "7K2", seq: this.#seq, event }]);
    }
  }

  /** Do a step with what its gate would write; gates pass. */
  do(step: Step, counted: Readonly<Record<string, number>> = {}): void {
    if (step.gate === "safety")
      this.write({
        kind: "safety.checked",
        job: JOB,
        body: { at: "bench", wet: "no", bulging: "no", hot: "no", photos: [] },
      });
    if (step.gate === "liquid")
      this.write({ kind: "liquid.inspected", job: JOB, body: { indicator: "untouched", signs: [], photos: [] } });
    if (step.gate === "power")
      this.write({ kind: "power.isolated", job: JOB, body: { battery: "sound", photos: [], step: step.id } });
    if (step.gate === "pair" && step.pair !== null)
      this.write({ kind: "pair.moved", job: JOB, body: { pair: step.pair, step: step.id } });
    if (step.gate === "bring")
      this.write({ kind: "thing.moved", body: { thing: DEVICE, to: "safe", after: Object.keys(this.heads(DEVICE)) } });
    this.book(step, bookings(step, this.procedure, this.job.ledger, counted));
    this.write({ kind: "step.done", job: JOB, body: { step: step.id } });
  }

  book(step: Step, booked: readonly Booking[]): void {
    for (const b of booked) {
      if ("connector" in b) this.write({ kind: b.kind, job: JOB, body: { step: step.id, connector: b.connector } });
      else
        this.write({
          kind: b.kind,
          job: JOB,
          body: { step: step.id, group: b.group, pocket: b.pocket, count: b.count },
        });
    }
  }

  /** Do steps in order until the open one has this id, or none is left. */
  doUntil(id: string | null): void {
    for (let step = this.open; step !== null && step.id !== id; step = this.open) this.do(step);
  }
}
