/** A bench station in this process, its database and all: two booked jobs, parts on the shelf, and gates that pass. */
import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { finishStep } from "@pwa/actions/bench.ts";
import { acceptPart, checkComplaint } from "@pwa/actions/complaint.ts";
import {
  checkSafety,
  closeTests,
  inspectLiquid,
  isolatePower,
  movePair,
  packCore,
  recheck,
  tagCore,
} from "@pwa/actions/gates.ts";
import { assignPart, closeTry } from "@pwa/actions/prefit.ts";
import { readTest } from "@pwa/actions/tests.ts";
import { bind } from "@pwa/actions/tray.ts";
import { mint } from "@pwa/codes/codes.ts";
import { docs, load, state } from "@pwa/current.ts";
import { benchOf } from "@pwa/facts/work.ts";
import type { Job } from "@pwa/fold/state.ts";
import { putMeta, withDb } from "@pwa/log/db.ts";
import { firstRow } from "@pwa/log/own.ts";
import type { Result } from "@pwa/problem.ts";
import { prefitPoints } from "@pwa/rules/prefit.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { pointsOf } from "@pwa/rules/tests.ts";
import tablet from "@shared/procedures/thrumbold-plank4-display.json";
import { expect } from "vitest";
import { DEVICE, DISPLAY, JOB, PART, SECOND_PART, SHIPPED, TRAY } from "./benchKit.ts";

export const OTHER_JOB = mint("J", "7K2", 60).code;
export const OTHER_DEVICE = mint("D", "7K2", 61).code;
export const OTHER_TRAY = mint("T", "7K2", 62).code;
export const TABLET_PART = mint("P", "7K2", 64).code;
export const WRONG_PART = mint("P", "7K2", 63).code;

/** A tablet that is glued shut: its final test comes before the glue, and once more after it. */
export const TABLET = tablet as unknown as Procedure;

/** The unit that the job in hand needs. */
const partFor = (): string => (job().procedure === TABLET.id ? TABLET_PART : PART);

export const slug = (answer: Result<unknown>): string => (answer.ok ? "ok" : answer.problem.slug);
export const job = (code = JOB): Job => state.value.job.get(code) as Job;
export const open = (): string | undefined => {
  const bench = benchOf(JOB);
  return bench.ok ? bench.value.open?.id : undefined;
};
export const kindsOf = (written: Result<readonly { kind: string }[]>): readonly string[] =>
  written.ok ? written.value.map((e) => e.kind) : [written.problem.slug];

/** A station of its own on which a technician has signed on: nothing in its log, a lead beside them, these procedures. */
export async function emptyStation(procedures: readonly Procedure[] = []): Promise<void> {
  await withDb(async (db) => {
    await Promise.all(Object.values(db).map((t) => t.clear()));
  });
  await putMeta(
    "station",
    await firstRow({ station: "S001", name: "Bench", role: "bench", shop: "Shop", incarnation: "7K2" }),
  );
  await putMeta("signed_on", "W001");
  const staff = (name: string, role: string) => ({ name, role, badge_salt: "", badge_hash: "0".repeat(64) });
  await withDb(async (db) => {
    await db.docs.putMany([
      ...procedures.map((p) => ({ id: `procedure:${p.id}.${p.rev}`, kind: "procedure", rev: 1, body: p })),
      { id: "staff:W001", kind: "staff", rev: 1, body: staff("Bench One", "bench") },
      { id: "staff:W002", kind: "staff", rev: 1, body: staff("Lead", "lead") },
    ]);
  });
  await load();
  expect(docs.value.size).toBe(procedures.length + 2);
}

/** Such a station with the shipped procedures, two booked jobs and parts. */
export async function blankStation(): Promise<void> {
  await emptyStation([...SHIPPED, TABLET]);
  await act(() => [
    ...[[JOB, DEVICE], [OTHER_JOB, OTHER_DEVICE]].map(([code, device], i) => ({
      kind: "job.booked" as const,
      job: code as string,
      body: {
        device: device as string, card: "a".repeat(20), contact: "b".repeat(20), model: "Quillet 5", complaint: "No picture", lock: "unlocked" as const,
        consents: [], promised_at_ms: 1, ticket: String(i).repeat(26),
      },
    })), // biome-ignore format: one booking
    ...[PART, SECOND_PART].map((part) => ({
      kind: "part.received" as const,
      body: {
        part,
        name: "Display",
        part_kind: "quillet5-display",
        supplier: "north",
        lot: "L1",
        shipping_caution: "none" as const,
      },
    })),
    {
      kind: "part.received",
      body: {
        part: TABLET_PART,
        name: TABLET.part.name,
        part_kind: TABLET.part.kind,
        supplier: "north",
        lot: "L3",
        shipping_caution: "none",
      },
    },
    {
      kind: "part.received",
      body: {
        part: WRONG_PART,
        name: "Battery",
        part_kind: "quillet5-battery",
        supplier: "north",
        lot: "L2",
        shipping_caution: "battery_loose",
      },
    },
  ]);
}

export const begin = (procedure = DISPLAY.id): Promise<Result<unknown>> => bind(TRAY, JOB, procedure);
export const dry = { indicator: "untouched" as const, signs: [], photos: {}, note: "" };

/** What passes a gate in place of what usually does. */
export type Gates = Readonly<Record<string, (step: string) => Promise<Result<unknown>>>>;

/** Work on, gates passing, until this step is open. */
export async function workUntil(id: string, gates: Gates = {}): Promise<void> {
  for (let n = 0; n < 80 && open() !== id; n += 1) {
    const bench = benchOf(JOB);
    const step = bench.ok ? bench.value.open : null;
    if (step === null) throw new Error("no step is open");
    const own = gates[step.gate ?? ""];
    const done = await (own === undefined ? pass(step.id, step.gate) : own(step.id));
    expect([step.id, slug(done)]).toEqual([step.id, "ok"]);
  }
  expect(open()).toBe(id);
}

export async function pass(id: string, gate: string | null): Promise<Result<unknown>> {
  switch (gate) {
    case "safety":
      return checkSafety(JOB, id, { wet: "no", bulging: "no", hot: "no" }, []);
    case "liquid":
      return inspectLiquid(JOB, id, dry);
    case "power":
      return isolatePower(JOB, id, "sound", []);
    case "prefit":
      await assignPart(JOB, partFor());
      await readAll(1, []);
      await closeTry(JOB, id);
      return acceptPart(JOB, id, "yes", "");
    case "pair":
      return movePair(JOB, id);
    case "recheck":
      return recheck(JOB, id);
    case "final":
      for (const point of pointsOf("final")) await readTest(JOB, "final", { point, result: "pass" });
      await checkComplaint(JOB, id, "yes", "");
      return closeTests(JOB, id);
    case "core":
      await tagCore(JOB, id, { condition: "complete", damagedBattery: false, photos: [], supplier: null });
      return packCore(JOB, id);
    default:
      return finishStep(JOB, id);
  }
}

export async function readAll(number: number, failing: readonly string[]): Promise<void> {
  const step = benchOf(JOB);
  if (!step.ok || step.value.open === null) throw new Error("no step");
  for (const point of prefitPoints(step.value.procedure, step.value.open)) {
    const result = failing.includes(point) ? ("fail" as const) : ("pass" as const);
    expect(slug(await readTest(JOB, "prefit", { point, result, try: number }))).toBe("ok");
  }
}
