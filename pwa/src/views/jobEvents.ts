/** Every event about a job: the pulled log in the server's order, then what is so far only here. */
import { ownOnTop, visited } from "../current.ts";
import { codesOf } from "../events/about.ts";
import { type Event, eventId, isEvent } from "../events/envelope.ts";
import { type Placed, pulledAbout } from "../log/pulled.ts";

/** What the shop's log has about a code, as far as it is here: what was pulled, and what was read from the archive. */
export async function logAbout(code: string): Promise<readonly Placed[]> {
  const all = new Map((await pulledAbout(code)).map((p) => [p.position, p]));
  for (const line of visited.value.lines.values())
    if (isEvent(line.event) && codesOf(line.event).includes(code)) all.set(line.position, line);
  return [...all.values()].sort((x, y) => x.position - y.position);
}

export async function readJobEvents(code: string): Promise<readonly Event[]> {
  const pulled = (await logAbout(code)).map(({ event }) => event).filter(isEvent);
  const seen = new Set(pulled.map(eventId));
  return [...pulled, ...ownOnTop.value.filter((e) => codesOf(e).includes(code) && !seen.has(eventId(e)))];
}
