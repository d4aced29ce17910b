/** A joined station with an invented shop, for the tests of the shipping screens' actions and views. */
import "fake-indexeddb/auto";
import { docs, load, signedOn, state } from "@pwa/current.ts";
import { type Event, isEvent, parse } from "@pwa/events/envelope.ts";
import { EMPTY } from "@pwa/fold/state.ts";
import { type Doc, putMeta, withDb } from "@pwa/log/db.ts";
import { firstRow } from "@pwa/log/own.ts";
import quillet from "@shared/procedures/quillet5-display.json";
import { named } from "./texts.ts";

export const LEAD = "W001";
export const MILL = { id: "mill", name: "Mill Lane Parts" };
export const QUARRY = { id: "quarry", name: "Quarry Supply" };

export const DOCS: readonly Doc[] = [
  { id: "shop", kind: "settings", rev: 1, body: { shop_name: "Lantern Repairs" } },
  { id: "catalogue", kind: "catalogue", rev: 2, body: { models: ["Quillet 5"], suppliers: [MILL, QUARRY], parts: [] } },
  { id: `staff:${LEAD}`, kind: "staff", rev: 3, body: { name: "Ina", role: "lead", badge_salt: "s", badge_hash: "h" } },
  { id: `procedure:${quillet.id}.${quillet.rev}`, kind: "procedure", rev: 4, body: quillet },
];

/** Begin with an empty station that has just joined. */
export async function joinedStation(incarnation = "7K2"): Promise<void> {
  await withDb(async (db) => {
    await Promise.all([
      db.own.clear(),
      db.chunks.clear(),
      db.docs.clear(),
      db.docsOut.clear(),
      db.photos.clear(),
      db.meta.clear(),
    ]);
    await db.docs.putMany([...DOCS]);
  });
  const who = { station: "S1AA", name: "Shipping desk", role: "lead", shop: "Lantern Repairs", incarnation };
  await putMeta("station", await firstRow(who));
  await putMeta("signed_on", LEAD);
  state.value = EMPTY;
  await load();
  docs.value = new Map(DOCS.map((d) => [d.id, d]));
  signedOn.value = LEAD;
}

export type Draft = { readonly kind: string; readonly job?: string | null; readonly body: Record<string, unknown> };

/** A sound event of some station, its texts held here. Throws when the draft is not one. */
export function event(draft: Draft, seq: number, incarnation = "7K2", at_ms = 1_000 + seq): Event {
  const { kind, job = null, body } = draft;
  const station = incarnation === "7K2" ? "S1AA" : "S2BB";
  const whole = { v: 1, kind, station, incarnation, seq, staff: LEAD, at_ms, job, body: named(kind, body) };
  const parsed = parse(JSON.stringify(whole));
  if (!isEvent(parsed)) throw new Error(`${kind}: ${parsed.slug} ${parsed.pointer}`);
  return parsed;
}
