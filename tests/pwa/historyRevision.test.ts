/** Old histories keep the names of the revision that their job follows, whatever is published later (F7.4). */
import { docs, state } from "@pwa/current.ts";
import { type Event, isEvent, parse } from "@pwa/events/envelope.ts";
import { newestProcedure, workProcedure } from "@pwa/facts/catalogue.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { sentence } from "@pwa/views/history.ts";
import { customerSheet, shopSheet } from "@pwa/views/record.ts";
import DISPLAY from "@shared/procedures/quillet5-display.json";
import { beforeEach, expect, test } from "vitest";
import { aJob } from "./counterStation.ts";

const CODE = "J7K2000010";
const FIRST = DISPLAY as unknown as Procedure;
const { stage, ...STARTED } = aJob({ procedure: FIRST.id, revision: FIRST.rev, stage: "ready" });
const JOB = { ...STARTED, stage, ledger: { latch: { out: 2, back: 2 } } };

const written = (kind: string, body: object, seq: number): Event => {
  const envelope = { v: 1, station: "S7K2", incarnation: "7K2", staff: null, at_ms: 1_772_445_600_000, job: CODE };
  const event = parse(JSON.stringify({ ...envelope, kind, seq, body }));
  if (!isEvent(event)) throw new Error(JSON.stringify(event));
  return event;
};
const EVENTS = [
  written("job.started", { procedure: FIRST.id, revision: FIRST.rev }, 1),
  written("step.done", { step: "latch" }, 2),
  written("fastener.removed", { step: "latch", group: "latch", pocket: 1, count: 2 }, 3),
  written("connector.unplugged", { step: "power", connector: "battery" }, 4),
  written("step.done", { step: "latch-back" }, 5),
];

const publish = (procedure: Procedure): void => {
  const id = `procedure:${procedure.id}.${procedure.rev}`;
  docs.value = new Map([...docs.value, [id, { id, kind: "procedure", rev: procedure.rev, body: procedure }]]);
};

beforeEach(() => {
  docs.value = new Map();
  publish(FIRST);
  state.value = { ...EMPTY, job: new Map([[CODE, JOB]]) };
});

test("a new revision with other names changes no history and no record", () => {
  const told = () => [EVENTS.map((e) => sentence(e)), customerSheet(CODE, JOB), shopSheet(CODE, JOB, EVENTS)];
  const before = told();
  expect(before[0]).toContain("Step done: Take out the latch screws");
  const renamed = <T extends object>(rows: readonly T[]) =>
    rows.map((row) => ({ ...row, title: "Renamed", name: "Renamed" }));
  publish({
    ...FIRST,
    rev: FIRST.rev + 1,
    title: "Renamed",
    in: renamed(FIRST.in),
    turn: renamed(FIRST.turn),
    fasteners: renamed(FIRST.fasteners),
    connectors: renamed(FIRST.connectors),
  });
  expect(newestProcedure(FIRST.id)?.title).toBe("Renamed");
  expect(told()).toEqual(before);
});

test("a job that is not begun is worked by the newest revision, one under way by its own", () => {
  publish({ ...FIRST, rev: FIRST.rev + 1, title: "Renamed" });
  expect(workProcedure({ ...JOB, stage: "booked" })?.title).toBe("Renamed");
  expect(workProcedure({ ...JOB, stage: "bench" })?.title).toBe(FIRST.title);
});
