/** The time as it goes on, for what counts down on a screen. */
import { useEffect, useState } from "preact/hooks";
import { nowMs } from "../../device/clock.ts";

const EVERY_MS = 250;

export function useNow(goesOn: boolean): number {
  const [now, setNow] = useState(nowMs);
  useEffect(() => {
    if (!goesOn) return;
    setNow(nowMs());
    const beat = setInterval(() => setNow(nowMs()), EVERY_MS);
    return () => clearInterval(beat);
  }, [goesOn]);
  return now;
}
