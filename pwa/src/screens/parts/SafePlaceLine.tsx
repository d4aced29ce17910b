/** How much lies in the safe place, and for how long: a way there, and a reminder that it does not grow old. */
import { nowMs } from "../../device/clock.ts";
import { Shape } from "../../ui/Shape.tsx";
import { safePlaceLine } from "../../views/safePlace.ts";
import { upper } from "../../words/format.ts";

export function SafePlaceLine() {
  const line = safePlaceLine(nowMs());
  if (line === null) return null;
  return (
    <a class="mark warn way-on" href="#/safe">
      <Shape name="warn" />
      {upper(line)}
    </a>
  );
}
