/** Opening, filling, sealing and shipping boxes. Each writes all its events or none. */

import { state } from "../current.ts";
import type { Purpose } from "../events/kinds.gen.ts";
import { type BoxRefusal, boxFacts, fitNow, type Piece, piecesOf, refusalOf } from "../facts/boxes.ts";
import { ok, type Problem, type Result, refuse } from "../problem.ts";
import { isUnsafeBattery } from "../rules/battery.ts";
import { energyOf, leavesTo, maySeal, mayShip } from "../rules/boxes.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

/** Open a box; `given` is the code of a label made beforehand, else one is minted. Its code on return. */
export const openBox = onePress(
  async (given: string | null, supplier: string, purpose: Purpose): Promise<Result<string>> => {
    if (given !== null && state.value.box.get(given)?.opened != null) return ok(given);
    let box = given;
    const written = await act((pen) => {
      const code = given ?? pen.mint("B");
      box = code;
      return [{ kind: "box.opened", body: { box: code, supplier, purpose } }, moved(code, "shipping")];
    });
    return written.ok ? ok(box as string) : written;
  },
);

export type PutIn = { readonly code: string; readonly name: string; readonly count: number; readonly wasIn: boolean };

export type PutInResult =
  | { readonly ok: true; readonly value: PutIn }
  | { readonly ok: false; readonly problem: Problem | BoxRefusal };

/** Put a scanned thing into a box, or say why it does not belong there (rules/boxes.ts). */
export async function putIn(box: string, code: string): Promise<PutInResult> {
  const fit = fitNow(box, code);
  if (fit !== "fits" && fit !== "is_in") return { ok: false, problem: refusalOf(fit, code) };
  if (fit === "fits") {
    const written = await act(() => [moved(code, box)]);
    if (!written.ok) return written;
  }
  const name = state.value.thing.get(code)?.name ?? code;
  return ok({ code, name, count: boxFacts(box).count, wasIn: fit === "is_in" });
}

/** Take a thing out of a box that is not sealed: to the shipping desk, or to the safe place if its battery is unsafe. */
export async function takeOut(box: string, code: string): Promise<Result<true>> {
  const { opened, sealed } = boxFacts(box);
  if (opened === null) return refuse("box-not-open");
  if (sealed !== null) return refuse("box-sealed");
  const piece = piecesOf(box).find((p) => p.code === code);
  if (piece === undefined) return ok(true);
  if (piece.clash) return { ok: false, problem: refusalOf("code-clash", code) };
  const to = isUnsafeBattery(piece.thing.shipping_caution) ? "safe" : "shipping";
  const written = await act(() => [moved(code, to)]);
  return written.ok ? ok(true) : written;
}

/** Seal a box as counted and weighed. Null stands for what was not typed as a whole number. */
export const sealBox = onePress(
  async (box: string, count: number | null, weight_g: number | null): Promise<Result<true>> => {
    const pieces = piecesOf(box);
    const inside = pieces.map((p) => p.code);
    const clashing = clashingOf(pieces);
    const unsafe = unsafeOf(pieces);
    const fault = maySeal({ box: boxFacts(box), inside, clashing, unsafe, count, weight_g });
    if (fault === "box-count-differs")
      return refuse(fault, `You counted ${count ?? "nothing"}. Booked into this box: ${inside.length}.`);
    if (fault === "code-clash") return { ok: false, problem: refusalOf(fault, clashing[0] as string) };
    if (fault === "battery-not-shippable") return { ok: false, problem: refusalOf(fault, unsafe[0] as string) };
    if (fault !== null) return refuse(fault);
    const written = await act(() => [
      { kind: "box.sealed", body: { box, count: inside.length, weight_g: weight_g as number, cores: inside } },
    ]);
    return written.ok ? ok(true) : written;
  },
);

/** A sealed box leaves the shop. */
export const shipBox = onePress(async (box: string, reference: string): Promise<Result<true>> => {
  const record = state.value.box.get(box);
  const pieces = piecesOf(box);
  const [clashing, unsafe] = [clashingOf(pieces), unsafeOf(pieces)];
  const fault = mayShip({ sealed: record?.sealed ?? null, shipped: record?.shipped ?? null }, clashing, unsafe);
  if (fault === "code-clash") return { ok: false, problem: refusalOf(fault, clashing[0] as string) };
  if (fault === "battery-not-shippable") return { ok: false, problem: refusalOf(fault, unsafe[0] as string) };
  if (fault !== null) return refuse(fault);
  const named = reference.trim();
  const written = await act(() => [
    { kind: "box.shipped", body: named === "" ? { box } : { box, reference: named } },
    moved(box, leavesTo(record?.purpose ?? null)),
  ]);
  return written.ok ? ok(true) : written;
});

/** A typed whole number, or null. */
export const wholeNumber = (text: string): number | null =>
  /^[0-9]{1,9}$/.test(text.trim()) ? Number(text.trim()) : null;

const clashingOf = (pieces: readonly Piece[]): readonly string[] => pieces.filter((p) => p.clash).map((p) => p.code);
const unsafeOf = (pieces: readonly Piece[]): readonly string[] =>
  energyOf(pieces.map((p) => ({ ...p.thing, code: p.code }))).unsafe;
