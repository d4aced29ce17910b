/** Whether there is room for a second column. The sheets ask for the same width; tests/meta/test_styles.py holds them to it. */
import { useEffect, useState } from "preact/hooks";

const ROOM = "(min-width: 1000px)";

export const isWide = (): boolean => matchMedia(ROOM).matches;

/** The same for what is drawn by it, told again when the window changes. */
export function useWide(): boolean {
  const [wide, setWide] = useState(isWide);
  useEffect(() => {
    const query = matchMedia(ROOM);
    const look = (): void => setWide(query.matches);
    query.addEventListener("change", look);
    return () => query.removeEventListener("change", look);
  }, []);
  return wide;
}
