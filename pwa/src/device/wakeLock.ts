/** Keeping the screen on (W3C Screen Wake Lock); does nothing where the browser cannot or the phone is saving its battery. */
import type { Release } from "./scanner.ts";

/** Keep the screen on until released. `told` hears whether it is on. Hiding the page ends it; showing the page asks for it again. */
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
