/** One round of talking to the server, in the order that keeps the log readable. */

import { load } from "../current.ts";
import { getMeta, type StationRow, withDb } from "../log/db.ts";
import { forgetShop, noteReached } from "../log/forgetShop.ts";
import type { Cursor } from "../log/pulled.ts";
import { type Forgot, forgetAfterDays } from "../log/silence.ts";
import { ask, type Halt, isBlocking, type Refusal } from "./client.ts";
import { askEarlier } from "./earlier.ts";
import { sendEvents } from "./mend.ts";
import { pushPhotos } from "./photos.ts";
import { pullEvents } from "./pull.ts";
import { pullDocs, pullLackingCards } from "./pullDocs.ts";
import { pushDocs } from "./pushDocs.ts";
import { tellErased } from "./tellErased.ts";
import { countUnsentEvents } from "./unsent.ts";

/** Do everything once. A refusal in one part does not hold up the next; it is added to `refusals`. */
export async function syncRound(nowMs: () => number, refusals: Refusal[]): Promise<Halt | null> {
  const halt = await parts(nowMs, refusals);
  if (halt === null) await noteReached(nowMs());
  else if (halt !== "offline" && halt.slug === "station-revoked") await forgetTakenOut();
  return halt;
}

/** Taken out of the shop (F8.11): nothing of it stays in the stores. What is on the screen stays until the person leaves it. */
async function forgetTakenOut(): Promise<void> {
  const before = await getMeta<Forgot>("forgot");
  if (before?.why === "revoked") return;
  const reached_ms = (await getMeta<number>("reached_ms")) ?? null;
  const days = before?.days ?? forgetAfterDays(await withDb((db) => db.docs.get("shop")));
  await forgetShop({ why: "revoked", reached_ms, days });
  await load();
}

async function parts(nowMs: () => number, refusals: Refusal[]): Promise<Halt | null> {
  const blocking = (halt: Halt | null): Halt | null => {
    if (halt === null || halt === "offline" || isBlocking(halt)) return halt;
    refusals.push(halt);
    return null;
  };
  return (
    blocking(await meetEpoch(nowMs)) ??
    blocking(await pushDocs()) ??
    blocking(await docsOfNewcomer()) ??
    blocking(await sendEvents(nowMs)) ??
    blocking(await pullEvents(nowMs)) ??
    blocking(await pullDocs()) ??
    blocking(await tellErased()) ??
    blocking(await pullLackingCards()) ??
    blocking(refusals.length === 0 ? await offerAgain(nowMs) : null) ??
    blocking(await askEarlier()) ??
    blocking(await pushPhotos(nowMs))
  );
}

/** A restored server gets what it lacks in the order in which it was written, so its epoch is checked before anything is sent. */
async function meetEpoch(nowMs: () => number): Promise<Halt | null> {
  const cursor = await getMeta<Cursor>("cursor");
  if (cursor === undefined || (await countUnsentEvents()) === 0) return null;
  const server = await ask<{ readonly epoch: string } | null>("GET", "/api/station");
  if (!server.ok) return server.problem;
  if (server.value === null) return "offline";
  return server.value.epoch === cursor.epoch ? null : pullEvents(nowMs);
}

/** A station that has nothing yet gets the documents first, so that people can sign on while the rest arrives. */
async function docsOfNewcomer(): Promise<Halt | null> {
  return (await getMeta<Cursor>("cursor")) === undefined ? pullDocs() : null;
}

/** Offer what the pull showed to be missing on the server. */
async function offerAgain(nowMs: () => number): Promise<Halt | null> {
  const lacked = await withDb((db) => db.docsOut.count());
  const docs = lacked === 0 ? null : await pushDocs();
  if (docs !== null) return docs;
  const before = await getMeta<StationRow>("station");
  const events = await sendEvents(nowMs);
  if (events !== null) return events;
  const after = await getMeta<StationRow>("station");
  return before?.acked === after?.acked && before?.incarnation === after?.incarnation ? null : pullEvents(nowMs);
}
