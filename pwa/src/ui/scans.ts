/** A hand scanner heard while a screen is open that has no viewfinder. */
import { useLayoutEffect, useRef } from "preact/hooks";
import { hearKeyScanner } from "../device/scanner.ts";

/** Null hears nothing: a viewfinder on the screen hears hand scanners by itself. */
export function useScans(onFound: ((text: string) => void) | null): void {
  const report = useRef(onFound);
  report.current = onFound;
  const hears = onFound !== null;
  // Before the screen is painted, so that a scan is heard as soon as the step is seen.
  useLayoutEffect(() => (hears ? hearKeyScanner((text) => report.current?.(text)) : undefined), [hears]);
}
