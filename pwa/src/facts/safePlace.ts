/** What the rules of the safe place need to know of a thing. */
import { state } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import type { LyingFacts } from "../rules/safePlace.ts";
import { piecesOf } from "./boxes.ts";

/** What the rules need to know; a box counts as the worst of its pieces. */
export function lyingFacts(code: string): LyingFacts {
  const thing = state.value.thing.get(code);
  const job = jobOfDevice(code);
  const cautions = code.startsWith("B")
    ? piecesOf(code).map((p) => p.thing.shipping_caution)
    : [thing?.shipping_caution ?? null];
  const worst = [...cautions].sort((a, b) => RANK.indexOf(b ?? "none") - RANK.indexOf(a ?? "none"))[0] ?? null;
  return { code, shipping_caution: worst, unsafe_cell: job !== undefined && isCellUnsafe(job) };
}

const RANK = ["none", "battery_inside", "battery_loose", "battery_failed", "battery_damaged"];

export const jobOfDevice = (code: string): Job | undefined =>
  code.startsWith("D") ? state.value.job.get(state.value.thing.get(code)?.job ?? "") : undefined;
