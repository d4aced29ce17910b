/** TypeScript walks procedures as the vectors say. */
import { readFileSync } from "node:fs";
import { derive, type Op, type Procedure, type Step } from "@pwa/rules/procedure.ts";
import { whenStopped } from "@pwa/rules/stopped.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Brief = {
  readonly id: string;
  readonly phase: string;
  readonly gate?: string;
  readonly source?: string;
  readonly ops?: readonly string[];
  readonly heat?: number;
  readonly solvent?: string;
  readonly swollen?: true;
};
type Vector = {
  readonly name: string;
  readonly expect: "walk" | "stopped";
  readonly procedure: string;
  readonly done?: readonly string[];
  readonly reason?: string;
  readonly cell?: string;
  readonly steps: readonly Brief[];
  readonly cautions?: Readonly<Record<string, readonly string[]>>;
};

const ALL = vectors<Vector>("procedure", {
  keys: ["name", "expect", "comment", "procedure", "steps"],
  optional: ["done", "reason", "cell", "cautions"],
  expect: ["walk", "stopped"],
});

it.each(ALL)("$name", (vector) => {
  const file = new URL(`../../shared/procedures/${vector.procedure}.json`, import.meta.url);
  const procedure = JSON.parse(readFileSync(file, "utf8")) as Procedure;
  const steps =
    vector.expect === "walk"
      ? derive(procedure)
      : whenStopped(procedure, new Set(vector.done), { reason: vector.reason ?? "", cell: vector.cell ?? null });
  expect(steps.map(brief)).toEqual(vector.steps);
  const told = vector.cautions ?? {};
  const derived = steps.filter((s) => Object.hasOwn(told, s.id)).map((s) => [s.id, s.cautions]);
  expect(Object.fromEntries(derived)).toEqual(told);
});

/** A step as vectors write it: empty members are left out, an operation is one line. */
function brief(step: Step): Brief {
  return {
    id: step.id,
    phase: step.phase,
    ...(step.gate === null ? {} : { gate: step.gate }),
    ...(step.source === null ? {} : { source: step.source }),
    ...(step.ops.length === 0 ? {} : { ops: step.ops.map(action) }),
    ...(step.heat === null ? {} : { heat: step.heat.usual_c }),
    ...(step.solvent === null ? {} : { solvent: step.solvent.where }),
    ...(step.swollen === null ? {} : { swollen: true as const }),
  };
}

function action(op: Op): string {
  const what = "group" in op ? op.group : "connector" in op ? op.connector : op.what;
  return `${op.op} ${what}`;
}
