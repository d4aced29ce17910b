/** The test that a device runs on itself: show its address, hear what it found, write what the technician confirms. */
import { signedOn } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import type { TestStage } from "../events/kinds.gen.ts";
import { type Found, noteOf, openPoints, type Proposal, whyOf } from "../facts/selfTest.ts";
import type { NewEvent } from "../log/append.ts";
import { type Result, refuse } from "../problem.ts";
import { ask, asResult } from "../sync/client.ts";
import { act } from "./act.ts";
import { dropDraft, keepDraft, readDraft } from "./drafts.ts";
import { readingEvent } from "./tests.ts";

/** An address for the device; the server keeps only its hash. */
export type Offer = {
  readonly id: string;
  readonly url: string;
  readonly qr_svg: string;
  readonly expires_at_ms: number;
};

export type Progress =
  | { readonly state: "waiting" | "open"; readonly results: null }
  | { readonly state: "done"; readonly results: Found };

export type Taken = { readonly proposal: Proposal; readonly result: "pass" | "fail" };

/** The address that is shown now, or a new one. `selftest-stage`, `selftest-offline`. */
export async function offerSelfTest(code: string, stage: TestStage): Promise<Result<Offer>> {
  const open = openPoints(code, stage);
  if (!open.ok) return open;
  if (signedOn.value === null) return refuse("not-signed-on");
  const kept = await readDraft<Offer>(draftId(code, stage));
  if (kept !== undefined) {
    // A screen that was left or loaded anew goes on with the test that the device may be in the middle of.
    const still = await ask<Progress>("GET", `/api/selftests/${kept.id}`);
    if (still.ok) return { ok: true, value: kept };
  }
  const made = asResult(await ask<Offer>("POST", "/api/selftests", { job: code, stage }), { slug: "selftest-offline" });
  if (made.ok) await keepDraft(draftId(code, stage), made.value);
  return made;
}

/** How far the device is. `selftest-over`, `selftest-offline`. */
export async function followSelfTest(offer: Offer): Promise<Result<Progress>> {
  return asResult(await ask<Progress>("GET", `/api/selftests/${offer.id}`), { slug: "selftest-offline" });
}

/** Write what was confirmed, all or nothing, with a note of what speaks for it. Needs no network: what was found is here. */
export async function confirmSelfTest(
  code: string,
  stage: TestStage,
  taken: readonly Taken[],
): Promise<Result<readonly Event[]>> {
  const open = openPoints(code, stage);
  if (!open.ok) return open;
  const { job, try: number } = open.value;
  const readings = taken.map(({ proposal, result }): NewEvent => {
    const why = whyOf(job, stage, proposal, result);
    const read = { point: proposal.point, result, ...(why === null ? {} : { why }) };
    return readingEvent(code, stage, number === null ? read : { ...read, try: number });
  });
  return act(() => [...readings, { kind: "note.added", job: code, body: { note: noteOf(stage, taken) } }]);
}

/** Confirmed or turned down: the server need not keep it. Without a network it is gone there after its quarter of an hour. */
export async function forgetSelfTest(code: string, stage: TestStage, offer: Offer): Promise<void> {
  await dropDraft(draftId(code, stage));
  void ask("DELETE", `/api/selftests/${offer.id}`);
}

const draftId = (code: string, stage: TestStage): string => `self-test:${code}:${stage}`;
