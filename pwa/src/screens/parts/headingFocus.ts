/** Moves the focus to the screen's heading when what it shows changes, so that a screen reader starts there. */
import { useEffect } from "preact/hooks";

export function useHeadingFocus(shown: string): void {
  useEffect(() => {
    const heading = document.querySelector<HTMLElement>("main h1");
    if (heading === null) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    scrollTo(0, 0);
  }, [shown]);
}
