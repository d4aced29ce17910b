/** What only this station has, in words: "2 entries, 1 photo". Empty when there is nothing. */
import { unsentDocs, unsentEvents, unsentPhotos } from "../../sync/status.ts";

export function whatWaits(): string {
  const counts: readonly (readonly [number, string, string])[] = [
    [unsentEvents.value, "entry", "entries"],
    [unsentDocs.value, "card", "cards"],
    [unsentPhotos.value, "photo", "photos"],
  ];
  return counts
    .filter(([n]) => n > 0)
    .map(([n, one, many]) => `${n} ${n === 1 ? one : many}`)
    .join(", ");
}
