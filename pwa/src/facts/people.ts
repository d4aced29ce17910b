/** Who is who: staff and station documents, shop settings, cards. */
import { docs, signedOn, station } from "../current.ts";

export type Role = "counter" | "bench" | "shipping" | "lead";
export type Staff = {
  readonly name: string;
  readonly role: Role;
  readonly badge_salt: string;
  readonly badge_hash: string;
};
export type ContactCard = { readonly name?: string; readonly phone?: string; readonly mail?: string };
export type DeviceCard = { readonly imei?: string; readonly serial?: string; readonly model?: string };
export type Shop = {
  readonly shop_name?: string;
  readonly currency?: string;
  readonly time_zone?: string;
  readonly phone?: string;
  readonly mail?: string;
  readonly warranty_days?: number;
  /** After how many days a job that is over is put away. */
  readonly put_away_after_days?: number;
  /** How many months after that personal data is erased; 0 for never. */
  readonly erase_after_months?: number;
  /** After how many days without the server a station forgets what it holds of the shop. */
  readonly forget_after_days?: number;
  readonly customer_page?: string;
  /** How often static checks are due (esd.json). */
  readonly strap_interval?: string;
  readonly mat_interval?: string;
  /** What the shop wrote on its emergency page (views/emergency.ts). */
  readonly emergency?: Readonly<Partial<Record<"place" | "number" | "container" | "who" | "text", string>>>;
  /** The shop's own terms, as it wrote them. */
  readonly terms?: string;
};

function body<T>(id: string | null): T | null {
  return id === null ? null : ((docs.value.get(id)?.body ?? null) as T | null);
}

export const staffById = (id: string | null): Staff | null => (id === null ? null : body<Staff>(`staff:${id}`));
/** The name to show for a staff id. */
export const staffName = (id: string | null): string => staffById(id)?.name ?? id ?? "the station";
/** A station by its name and id; by its id alone until its document has come (F7.7). */
export function stationName(id: string): string {
  const own = station.value;
  if (own?.station === id) return `this station, ${own.name} (${id})`;
  const known = body<{ readonly name: string; readonly taken_out: boolean }>(`station:${id}`);
  if (known === null || known.name === id) return `station ${id}`;
  return `${known.name} (${id})${known.taken_out ? ", taken out" : ""}`;
}
export const signedOnStaff = (): Staff | null => staffById(signedOn.value);
export const isLead = (): boolean => signedOnStaff()?.role === "lead";
export const contactCard = (ref: string | null): ContactCard | null => body<ContactCard>(ref);
export const deviceCard = (ref: string | null): DeviceCard | null => body<DeviceCard>(ref);
/** The shop's settings. Values of the wrong type are left out, since an older document may hold anything. */
export function shop(): Shop {
  const held = body<Readonly<Record<string, unknown>>>("shop") ?? {};
  const { emergency } = held;
  return {
    ...textsOf(held, TEXTS),
    ...daysOf(held, ["warranty_days", "put_away_after_days", "erase_after_months", "forget_after_days"]),
    ...(typeof emergency === "object" ? { emergency: textsOf({ ...emergency }, EMERGENCY) } : {}),
  };
}

const TEXTS = [
  ...(["shop_name", "phone", "mail", "currency", "time_zone", "terms"] as const),
  ...(["customer_page", "strap_interval", "mat_interval"] as const),
];
const EMERGENCY = ["place", "number", "container", "who", "text"] as const;

const textsOf = <Name extends string>(
  held: Readonly<Record<string, unknown>>,
  names: readonly Name[],
): Partial<Record<Name, string>> =>
  Object.fromEntries(names.map((name) => [name, held[name]]).filter(([, value]) => typeof value === "string"));

const daysOf = <Name extends string>(
  held: Readonly<Record<string, unknown>>,
  names: readonly Name[],
): Partial<Record<Name, number>> =>
  Object.fromEntries(
    names.map((name) => [name, held[name]]).filter(([, days]) => Number.isSafeInteger(days) && Number(days) >= 0),
  );

export const allStaff = (): readonly (readonly [string, Staff])[] =>
  [...docs.value.values()]
    .filter((d) => d.kind === "staff" && d.body !== null)
    .map((d) => [d.id.replace("staff:", ""), d.body as Staff] as const);

/** Whether the shop has no staff yet. Before the first pull that is not known, so the answer is no. */
export const hasNobody = (): boolean => docs.value.has("shop") && allStaff().length === 0;
