/** What the screens show about sync: how much is only here, and whether the server was reached. */
import { signal } from "@preact/signals";
import type { Problem } from "../problem.ts";

export type Reach = "unknown" | "reached" | "offline" | "refused";

export const reach = signal<Reach>("unknown");
export const lastReachedMs = signal<number | null>(null);
/** Own entries, cards and photos that the server has not confirmed. */
export const unsentEvents = signal(0);
export const unsentDocs = signal(0);
export const unsentPhotos = signal(0);
export const syncing = signal(false);
export const syncProblem = signal<Problem | null>(null);
/** This station's clock minus the server's, in ms; null until known. */
export const clockSkewMs = signal<number | null>(null);
