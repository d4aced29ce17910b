/** What the bench screen knows of busy hands, from step to step: told by keys, tray and buttons, seen by all of its parts. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { stayAwake } from "../../device/wakeLock.ts";

export type How = "a key" | "its tray";

/** The step that was last done without a finger on the screen; "take back" stands beside it until the next one is done. */
export const lastDone = signal<{ readonly code: string; readonly step: string; readonly how: How } | null>(null);
/** How many steps back a person looks; nothing is written by looking. */
export const lookedBack = signal(0);
/** Whether the camera watches for the tray. It stays on from step to step. */
export const trayCamera = signal(false);
/** Whether the screen is held on now. */
export const awake = signal(false);

/** Hold the screen on while a job is open on the bench. */
export function useAwake(): void {
  useEffect(
    () =>
      stayAwake((on) => {
        awake.value = on;
      }),
    [],
  );
}
