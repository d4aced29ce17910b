/** How the screen is scaled: a size in millimetres holds only while zoom and monitor stay the same. */
import type { Release } from "./scanner.ts";

/** Device pixels per CSS pixel: changes with the browser's zoom, and usually with the monitor. */
export const pixelRatio = (): number => devicePixelRatio;

/** Hear when the ratio changes. */
export function hearRatio(changed: () => void): Release {
  let query: MediaQueryList | null = null;
  const follow = (): void => {
    query?.removeEventListener("change", heard);
    query = matchMedia(`(resolution: ${devicePixelRatio}dppx)`);
    query.addEventListener("change", heard);
  };
  const heard = (): void => {
    follow();
    changed();
  };
  follow();
  return () => query?.removeEventListener("change", heard);
}
