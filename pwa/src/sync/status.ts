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

/**
 * A job whose device turned out to have been here before: booked in while the server could not be asked. What it had then
 * is here in words, since its text is not kept on this station; empty once it was erased.
 */
export type CameBack = {
  readonly job: string;
  readonly earlier: string;
  readonly complaint: string;
  readonly text: string | null;
};
/** Those that the counter has not looked at yet. */
export const cameBack = signal<readonly CameBack[]>([]);
