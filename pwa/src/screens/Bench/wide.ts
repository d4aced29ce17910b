/** Whether there is room for a second column; the same width as in base.css. */
import { useEffect, useState } from "preact/hooks";

const ROOM = "(min-width: 1000px)";

export function useWide(): boolean {
  const [wide, setWide] = useState(() => matchMedia(ROOM).matches);
  useEffect(() => {
    const query = matchMedia(ROOM);
    const look = (): void => setWide(query.matches);
    query.addEventListener("change", look);
    return () => query.removeEventListener("change", look);
  }, []);
  return wide;
}
