/** What a lead changes on the server: staff, stations, settings, catalogue. None of it works without the network. */
import { docs, takeDocs } from "../current.ts";
import type { Catalogue } from "../facts/catalogue.ts";
import { hasNobody, isLead, type Role, type Shop, type Staff } from "../facts/people.ts";
import { type Doc, withDb } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { type Answer, ask, asResult } from "../sync/client.ts";
import { syncSoon } from "../sync/loop.ts";
import { pullDocs } from "../sync/pullDocs.ts";

export type Badge = { readonly staff: string; readonly badge: string };
export type Invite = {
  readonly code: string;
  readonly url: string;
  readonly expires_at_ms: number;
  readonly qr_svg: string;
};
export type StationLine = {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly created_at_ms: number;
  readonly revoked_at_ms: number | null;
  readonly last_event_at_ms: number | null;
};

/** Whether the person signed on may change the shop; the very first one may too, to become its lead. */
export const mayLead = (): boolean => isLead() || hasNobody();

/** Add a staff member. The badge's code is told this once. */
export async function addStaff(name: string, role: Role): Promise<Result<Badge>> {
  if (!mayLead()) return refuse("lead-only");
  if (name.trim() === "") return refuse("field-missing", "Type the name as colleagues know it.");
  const added = asked(await ask<Badge>("POST", "/api/staff", { name: name.trim(), role }));
  if (!added.ok) return added;
  await pullDocs();
  syncSoon();
  return added;
}

/** A new badge in place of a lost one, which opens nothing from then on. */
export async function replaceBadge(id: string): Promise<Result<Badge>> {
  if (!isLead()) return refuse("lead-only");
  const made = asked(await ask<Badge>("POST", `/api/staff/${id}/badge`));
  if (!made.ok) return made;
  await pullDocs();
  syncSoon();
  return made;
}

/** Change a staff member's role; their badge stays. */
export const setRole = (id: string, role: Role): Promise<Result<true>> => changeStaff(id, (s) => ({ ...s, role }));

/** No badge has this hash, so nobody signs on as them again. The name stays, since the history names them. */
const NO_BADGE = "0".repeat(64);
export const endBadge = (id: string): Promise<Result<true>> => changeStaff(id, (s) => ({ ...s, badge_hash: NO_BADGE }));
export const hasBadge = (staff: Staff): boolean => staff.badge_hash !== NO_BADGE;

export async function invite(name: string, role: Role): Promise<Result<Invite>> {
  if (!isLead()) return refuse("lead-only");
  if (name.trim() === "") return refuse("field-missing", "Say where the station will stand, such as Bench 2.");
  return asked(await ask<Invite>("POST", "/api/invites", { name: name.trim(), role }));
}

export async function stations(): Promise<Result<readonly StationLine[]>> {
  return asked(await ask<readonly StationLine[]>("GET", "/api/stations"));
}

export type Backup = { readonly at_ms: number | null; readonly every_h: number | null };

/** The last good backup of the server, and how often one is to be made. */
export async function lastBackup(): Promise<Result<Backup>> {
  return asked(await ask<Backup>("GET", "/api/backup"));
}

export async function revokeStation(id: string): Promise<Result<unknown>> {
  if (!isLead()) return refuse("lead-only");
  return asked(await ask("POST", `/api/stations/${id}/revoke`));
}

/** Change settings as read at a revision; what this screen does not know is left as it is. */
export const saveShop = (changes: Partial<Shop>, readAt: number): Promise<Result<true>> =>
  changeDoc("shop", "settings", (body) => ({ ...body, ...changes }), readAt);

export const saveCatalogue = (changes: Partial<Catalogue>): Promise<Result<true>> =>
  changeDoc("catalogue", "catalogue", (body) => ({ ...body, ...changes }));

function changeStaff(id: string, change: (staff: Staff) => Staff): Promise<Result<true>> {
  return changeDoc(`staff:${id}`, "staff", (body) => change(body as Staff));
}

/** Write a document against the revision it was read at (F7.3); shown here at once when the server took it. */
async function changeDoc(
  id: string,
  kind: string,
  change: (body: object) => object,
  readAt?: number,
): Promise<Result<true>> {
  if (!isLead()) return refuse("lead-only");
  const held = docs.value.get(id);
  const body = change((held?.body ?? {}) as object);
  const base = held === undefined ? {} : { base_rev: readAt ?? held.rev };
  const written = asked(await ask<{ rev: number }>("PUT", `/api/docs/${id}`, { kind, body, ...base }));
  if (!written.ok) {
    if (written.problem.slug === "doc-changed") syncSoon();
    return written;
  }
  const doc: Doc = { id, kind, rev: written.value.rev, body };
  await withDb((db) => db.docs.put(doc));
  takeDocs([doc]);
  tellTabs("docs");
  return ok(true);
}

const asked = <T>(answer: Answer<T>): Result<T> => asResult(answer, { slug: "shop-offline" });
