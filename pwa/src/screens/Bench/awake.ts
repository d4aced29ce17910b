/** The screen stays on while a job is open on the bench. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { stayAwake } from "../../device/wakeLock.ts";

/** Whether the screen is held on now. */
export const awake = signal(false);

export function useAwake(): void {
  useEffect(
    () =>
      stayAwake((on) => {
        awake.value = on;
      }),
    [],
  );
}
