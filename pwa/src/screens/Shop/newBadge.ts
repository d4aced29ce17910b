/** A badge that was just made. Its code exists nowhere else, so it stays on the screen until a person lets it go. */
import { signal } from "@preact/signals";
import type { Badge } from "../../actions/shop.ts";
import type { Role } from "../../facts/people.ts";

export type NewBadge = Badge & { readonly name: string; readonly role: Role };

export const newBadge = signal<NewBadge | null>(null);

export const ROLES: readonly { readonly value: Role; readonly name: string }[] = [
  { value: "counter", name: "Counter" },
  { value: "bench", name: "Bench" },
  { value: "shipping", name: "Shipping" },
  { value: "lead", name: "Lead" },
];

export const roleName = (role: Role): string => ROLES.find((r) => r.value === role)?.name ?? role;
