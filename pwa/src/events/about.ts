/** Which codes an event is about: the trace of a thing is found by them. */
import { kinds } from "../tables.ts";
import type { Event } from "./envelope.ts";
import { codeFields, isCode } from "./fieldTypes.ts";

const CODE_FIELDS = new Map(Object.entries(kinds).map(([kind, spec]) => [kind, codeFields(spec.fields)]));

/** All codes in the envelope and body, the job first, without repeats. */
export function codesOf(event: Pick<Event, "kind" | "job" | "body" | "known">): readonly string[] {
  const found = new Set<string>();
  if (event.job !== null) found.add(event.job);
  if (event.known) {
    for (const name of CODE_FIELDS.get(event.kind) ?? []) {
      const value = event.body[name];
      for (const item of Array.isArray(value) ? value : [value]) if (isCode(item)) found.add(item);
    }
  }
  return [...found];
}
