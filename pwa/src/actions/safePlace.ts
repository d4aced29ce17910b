/** The safe place: what is brought there, and what a collector takes from it for good. */

import { state } from "../current.ts";
import { keepPhoto, NO_JOB } from "../device/photo.ts";
import type { Event } from "../events/envelope.ts";
import { isLead } from "../facts/people.ts";
import { placeOfCode } from "../facts/things.ts";
import type { NewEvent } from "../log/append.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { MOST_COLLECTED, mayCollect, type PickUp } from "../rules/safePlace.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

type Done = Result<readonly Event[]>;

/** A thing with an unsafe battery lies in the safe place now. `code-clash` while two records disagree where it is. */
export const bringToSafe = onePress(async (code: string): Promise<Done> => {
  if (placeOfCode(code).kind === "clash") return refuse("code-clash", code);
  return act(() => [moved(code, "safe")]);
});

/** The photo of a collector's paper, kept on this station until the server has it; its hash. */
export async function photographPaper(picture: Blob): Promise<Result<string>> {
  const kept = await keepPhoto(NO_JOB, picture);
  return kept.ok ? ok(kept.value.sha256) : kept;
}

/**
 * Things that a collector took, with paper. Each is with the recycler from then on, and a device's job has what its
 * owner agreed to. As `mayCollect` refuses, and `not-in-safe-place`, `code-clash`.
 */
export const handToCollector = onePress(async (pickUp: PickUp, photos: readonly string[]): Promise<Done> => {
  const fault = mayCollect(pickUp, isLead());
  if (fault === "field-missing") return refuse(fault, missing(pickUp));
  if (fault !== null) return refuse(fault);
  const { things, agreed } = pickUp;
  const [who, paper] = [pickUp.who.trim(), pickUp.paper.trim()];
  for (const code of things) {
    const place = placeOfCode(code);
    if (place.kind === "clash") return refuse("code-clash", code);
    if (place.kind !== "at" || place.to !== "safe") return refuse("not-in-safe-place", code);
  }
  const by = `Collected by ${who}, paper ${paper}`;
  return act(() => [
    { kind: "safe.collected", body: { things, who, paper, photos } },
    ...things.map((code) => moved(code, "recycler", by)),
    ...things.flatMap((code): readonly NewEvent[] => {
      const job = code.startsWith("D") ? (state.value.thing.get(code)?.job ?? null) : null;
      if (job === null) return [];
      const note = `${by}, for disposal. The owner agreed: ${(agreed[code] ?? "").trim()}`;
      return [{ kind: "note.added", job, body: { note } }];
    }),
  ]);
});

function missing({ things }: PickUp): string {
  if (things.length === 0) return "Choose what is collected.";
  return things.length > MOST_COLLECTED ? `At most ${MOST_COLLECTED} with one paper.` : "Say who collects it.";
}
