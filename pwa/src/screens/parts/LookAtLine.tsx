/** A lead's way to what waits for their eye. */
import { Shape } from "../../ui/Shape.tsx";
import { toLookAt } from "../../views/toLookAt.ts";

export function LookAtLine() {
  const count = toLookAt();
  if (count === 0) return null;
  return (
    <a class="mark warn way-on" href="#/look-at">
      <Shape name="warn" />
      {count === 1 ? "One thing to look at" : `${count} things to look at`}
    </a>
  );
}
