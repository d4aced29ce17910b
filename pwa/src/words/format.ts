/** How times, money and lengths read on the screen. */

export function dayTime(ms: number): string {
  return new Date(ms).toLocaleString(undefined, {
    weekday: "short",
    day: "numeric",
    month: "short",
    hour: "2-digit",
    minute: "2-digit",
  });
}

/** A promise relative to now: "in 2 h 10 min", "40 min late". */
export function fromNow(ms: number, nowMs: number): string {
  const span = spanWords(Math.abs(ms - nowMs));
  return ms >= nowMs ? `in ${span}` : `${span} late`;
}

/** How long something took or lasts: "40 min", "2 h 10 min", "4 days". */
export function spanWords(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  if (minutes < 60) return `${minutes} min`;
  return minutes < 48 * 60 ? `${Math.floor(minutes / 60)} h ${minutes % 60} min` : `${Math.round(minutes / 1440)} days`;
}

/** Micrometres as millimetres with one decimal: 1300 -> "1.3 mm". */
export const lengthMm = (um: number): string => `${(um / 1000).toFixed(1)} mm`;

/** A word of the tables where it stands alone. */
export const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** An amount in a currency; in words where an older setting names one that the browser does not know. */
export function money(minor: number, currency: string): string {
  try {
    return new Intl.NumberFormat(undefined, { style: "currency", currency }).format(minor / 100);
  } catch {
    return `${(minor / 100).toFixed(2)} in the shop's currency`;
  }
}

/** A code in two groups of five, as it stands on the label. */
export const groupCode = (code: string): string => `${code.slice(0, 5)} ${code.slice(5)}`;

/** "1", "2 and 3", "2, 3 and 4". */
export const listed = (items: readonly string[]): string =>
  items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;

/** A word of the tables within a sentence. */
export const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
