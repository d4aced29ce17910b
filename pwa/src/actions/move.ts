/** Moving things (F6): an event that says where to, and names every move it follows. */
import { state } from "../current.ts";
import type { NewEvent } from "../log/append.ts";

/** The event that moves a thing; after all heads this station knows. */
export function moved(thing: string, to: string, why?: string): NewEvent {
  const after = Object.keys(state.value.thing.get(thing)?.heads ?? {});
  return { kind: "thing.moved", body: why === undefined ? { thing, to, after } : { thing, to, after, why } };
}
