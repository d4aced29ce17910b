/** Keeping the screen on (W3C Screen Wake Lock); silent where a browser has none or the phone refuses to save its battery. */
import type { Release } from "./scanner.ts";

/** Hold the screen on until stopped. `told` hears whether it is held. Hiding the page gives it up; it is asked for again when seen. */
export function stayAwake(told: (on: boolean) => void): Release {
  let left = false;
  let held: WakeLockSentinel | null = null;
  const ask = async (): Promise<void> => {
    if (left || held !== null || document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
    const lock = await navigator.wakeLock.request("screen").catch(() => null);
    if (lock === null) return;
    if (left || held !== null) return void lock.release();
    held = lock;
    lock.addEventListener("release", () => {
      if (held === lock) held = null;
      if (!left) told(false);
    });
    told(true);
  };
  const seen = (): void => void ask();
  document.addEventListener("visibilitychange", seen);
  void ask();
  return () => {
    left = true;
    document.removeEventListener("visibilitychange", seen);
    void held?.release();
    told(false);
  };
}
