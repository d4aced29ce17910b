/** Signing on by badge, checked against its hash so that it works offline; and off. */
import { readScan } from "../codes/scanned.ts";
import { signedOn } from "../current.ts";
import { sha256 } from "../events/chain.ts";
import { staffById } from "../facts/people.ts";
import { putMeta } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { actAs } from "./act.ts";

/** Sign on whoever this badge belongs to. `code-unreadable`, `code-check-failed`, `code-unknown`. */
export async function signOn(badge: string): Promise<Result<string>> {
  const scanned = readScan(badge);
  if (!scanned.ok) return scanned;
  if (scanned.value.is === "other") return refuse("code-unreadable");
  if (scanned.value.is !== "badge") return refuse("code-unknown");
  const { staff: id, badge: code } = scanned.value;
  const staff = staffById(id);
  if (staff === null) return refuse("code-unknown");
  const hash = await sha256(new TextEncoder().encode(`${staff.badge_salt}:${code}`));
  if (hash !== staff.badge_hash) return refuse("code-unknown", "This badge was replaced by a newer one.");
  const written = await actAs(id, () => [{ kind: "staff.signed_on", body: { with: "badge" } }]);
  if (!written.ok) return written;
  await setSignedOn(id);
  return ok(id);
}

export const signOff = (): Promise<void> => setSignedOn(null);

async function setSignedOn(id: string | null): Promise<void> {
  await putMeta("signed_on", id);
  signedOn.value = id;
  tellTabs("staff");
}
