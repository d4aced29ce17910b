/** Promised times, as they are offered and typed. */

const HOUR_MS = 3_600_000;
const QUARTER_MS = HOUR_MS / 4;
const EVENING_HOUR = 18;

type Promised = { readonly name: string; readonly at_ms: number };

/** Times that are promised most, from now, each once: whole quarters of an hour, evenings at six (common practice, no source). */
export function quickPromises(nowMs: number): readonly Promised[] {
  const at = (days: number): number => {
    const day = new Date(nowMs);
    day.setDate(day.getDate() + days);
    return day.setHours(EVENING_HOUR, 0, 0, 0);
  };
  const inHours = (hours: number): number => Math.ceil((nowMs + hours * HOUR_MS) / QUARTER_MS) * QUARTER_MS;
  const all: readonly Promised[] = [
    { name: "In one hour", at_ms: inHours(1) },
    { name: "In two hours", at_ms: inHours(2) },
    { name: "This evening", at_ms: at(0) },
    { name: "Tomorrow evening", at_ms: at(1) },
    { name: "In three days", at_ms: at(3) },
  ];
  const isFirst = (p: Promised, place: number): boolean => all.findIndex((q) => q.at_ms === p.at_ms) === place;
  return all.filter((p, place) => isFirst(p, place) && (p.name !== "This evening" || p.at_ms > nowMs + HOUR_MS));
}

/** A moment as a date-and-time field holds it, on this station's clock. */
export function toField(ms: number): string {
  const d = new Date(ms);
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}T${two(d.getHours())}:${two(d.getMinutes())}`;
}

export function fromField(text: string): number | null {
  const ms = new Date(text).getTime();
  return Number.isNaN(ms) ? null : ms;
}
