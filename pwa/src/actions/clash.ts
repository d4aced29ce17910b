/** Saying where a thing really is (F6.3): one move that follows every head this station knows. */
import { state } from "../current.ts";
import { lyingFacts } from "../facts/safePlace.ts";
import { placeOfCode } from "../facts/things.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { mayLieAt } from "../rules/safePlace.ts";
import { PLACES } from "../words/places.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

/** Settle a clash, or correct a place, by having looked. `field-missing` without a reason. */
export const settlePlace = onePress(async (code: string, to: string | null, why: string): Promise<Result<true>> => {
  if (!state.value.thing.has(code)) return refuse("code-unknown", code);
  if (to === null) return refuse("field-missing", "Choose where you found it.");
  if (why.trim() === "") return refuse("field-missing", "Say in a few words how you know.");
  const place = placeOfCode(code);
  const offered = place.kind === "clash" ? place.places : place.kind === "at" ? [place.to] : [];
  if (!offered.includes(to) && !Object.hasOwn(PLACES, to)) return refuse("field-missing", "Choose one of the places.");
  const refused = mayLieAt(lyingFacts(code), to);
  if (refused !== null) return refuse(refused);
  const written = await act(() => [moved(code, to, why.trim())]);
  return written.ok ? ok(true) : written;
});
