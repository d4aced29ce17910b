import puttingAway from "@shared/putting_away.json";
import { FORGET_AFTER_DAYS } from "../log/silence.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { isZone } from "./days.ts";
import type { EmergencyCard } from "./emergency.ts";

export type Typed = {
  readonly shop_name: string;
  readonly phone: string;
  readonly currency: string;
  readonly warranty_days: string;
  readonly put_away_after_days: string;
  readonly erase_after_months: string;
  readonly forget_after_days: string;
  readonly time_zone: string;
  readonly terms: string;
};

export type SettingsRead = {
  readonly shop_name: string;
  readonly phone: string;
  readonly currency: string;
  readonly currency_digits: number;
  readonly warranty_days: number;
  readonly put_away_after_days: number;
  readonly erase_after_months: number;
  readonly forget_after_days: number;
  readonly time_zone: string;
  readonly terms: string;
};

const { least_days, most_days } = puttingAway;
/** How long a job stays on every station after nothing was heard of it, where the shop has not said. */
export const PUT_AWAY_DAYS = puttingAway.default_days;

export { FORGET_AFTER_DAYS };

/** As in settings.schema.json. */
const MOST_MONTHS = 240;
const MOST_SILENT_DAYS = 3650;

/** A shop's own terms have at most so many characters. */
export const MOST_TERMS = 2000;

/** `field-missing` naming the first field that does not do. */
export function readSettings(typed: Typed): Result<SettingsRead> {
  const shop_name = typed.shop_name.trim();
  const currency = typed.currency.trim().toUpperCase();
  const days = typed.warranty_days.trim();
  const putAway = Number(typed.put_away_after_days.trim());
  const time_zone = typed.time_zone.trim();
  if (shop_name === "") return refuse("field-missing", "The shop needs a name.");
  const currency_digits = digitsOf(currency);
  if (currency_digits === null) return refuse("field-missing", "A currency has three letters, such as EUR.");
  if (!/^[0-9]{1,4}$/.test(days)) return refuse("field-missing", "Type the warranty as whole days.");
  if (!Number.isInteger(putAway) || putAway < least_days || putAway > most_days)
    return refuse("field-missing", `Jobs are put away after ${least_days} to ${most_days} days.`);
  const months = typed.erase_after_months.trim();
  if (months !== "" && !(/^[0-9]{1,3}$/.test(months) && Number(months) <= MOST_MONTHS))
    return refuse("field-missing", `Type up to ${MOST_MONTHS} months, or leave it empty to keep everything.`);
  const silent = Number(typed.forget_after_days.trim());
  if (!Number.isInteger(silent) || silent < 1 || silent > MOST_SILENT_DAYS)
    return refuse("field-missing", `A station forgets the shop after 1 to ${MOST_SILENT_DAYS} days.`);
  if (!isTimeZone(time_zone))
    return refuse("field-missing", "This time zone is not known. Write it such as Europe/Lisbon.");
  const terms = typed.terms.trim();
  if (terms.length > MOST_TERMS) return refuse("field-missing", `The terms may have ${MOST_TERMS} characters.`);
  return ok({
    shop_name,
    phone: typed.phone.trim(),
    currency,
    currency_digits,
    warranty_days: Number(days),
    put_away_after_days: putAway,
    erase_after_months: Number(months),
    forget_after_days: silent,
    time_zone,
    terms,
  });
}

/** Digits after the point (ISO 4217, as the browser knows it); null for what is not written like a currency. */
function digitsOf(currency: string): number | null {
  if (!/^[A-Z]{3}$/.test(currency)) return null;
  return new Intl.NumberFormat("en", { style: "currency", currency }).resolvedOptions().maximumFractionDigits ?? 2;
}

const isTimeZone = (name: string): boolean => isZone(name) && (name.includes("/") || name === "UTC");

/** What the shop wrote on its emergency page; `field-missing` for a number that cannot be dialled. */
export function readEmergency(typed: EmergencyCard): Result<EmergencyCard> {
  const [place, number, container, who, text] = [typed.place, typed.number, typed.container, typed.who, typed.text].map(
    (field) => field.trim(),
  ) as [string, string, string, string, string];
  if (number !== "" && !/^\+?[0-9][0-9 ()/-]*$/.test(number))
    return refuse("field-missing", "Write the emergency number as it is dialled, in digits only.");
  return ok({ place, number, container, who, text });
}
