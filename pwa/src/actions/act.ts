/** How every action ends: events written, durable, shown, and on their way. */
import { signedOn, takeDocs, takeOwn } from "../current.ts";
import { nowMs } from "../device/clock.ts";
import { newToken } from "../device/random.ts";
import type { Event } from "../events/envelope.ts";
import { append, type NewEvent, type Pen } from "../log/append.ts";
import { type Doc, withDb } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { countAndSync } from "../sync/loop.ts";
import { unsentDocs, unsentEvents } from "../sync/status.ts";

/** Write events as the person signed on. `not-signed-on`, `storage-failed`, `station-unknown`. */
export async function act(write: (pen: Pen) => readonly NewEvent[]): Promise<Result<readonly Event[]>> {
  if (signedOn.value === null) return refuse("not-signed-on");
  return actAs(signedOn.value, write);
}

/** Write events as somebody, or as the station itself. */
export async function actAs(
  staff: string | null,
  write: (pen: Pen) => readonly NewEvent[],
): Promise<Result<readonly Event[]>> {
  const written = await append(staff, nowMs(), write, newToken);
  if (!written.ok) return written;
  // Counted before it is shown, so that the mark never says "on the server" of what was just written.
  unsentEvents.value += written.value.events.length;
  takeDocs(written.value.texts);
  takeOwn(written.value.events, written.value.station);
  countAndSync();
  return ok(written.value.events);
}

/** Write a card of personal data (F7); it goes to the server with the next sync. */
export async function writeCard(
  id: string,
  kind: "contact" | "device",
  body: Readonly<Record<string, string>>,
): Promise<Result<Doc>> {
  const doc: Doc = { id, kind, rev: 0, body };
  try {
    await withDb((db) => db.docsOut.put(doc), "once");
  } catch (error) {
    return refuse("storage-failed", String(error));
  }
  unsentDocs.value += 1;
  takeDocs([doc]);
  tellTabs("docs");
  countAndSync();
  return ok(doc);
}
