/** Every event about a job: the pulled log in the server's order, then what is so far only here. */
import { ownOnTop } from "../current.ts";
import { codesOf } from "../events/about.ts";
import { type Event, eventId, isEvent } from "../events/envelope.ts";
import { pulledAbout } from "../log/pulled.ts";

export async function readJobEvents(code: string): Promise<readonly Event[]> {
  const pulled = (await pulledAbout(code)).map(({ event }) => event).filter(isEvent);
  const seen = new Set(pulled.map(eventId));
  return [...pulled, ...ownOnTop.value.filter((e) => codesOf(e).includes(code) && !seen.has(eventId(e)))];
}
