/** A part that does not belong here: over the whole screen, until the next scan or a press. */
import { useEffect } from "preact/hooks";
import type { BoxRefusal } from "../../facts/boxes.ts";
import { type Problem, problemText } from "../../problem.ts";
import { Button } from "../../ui/Dock.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { groupCode } from "../../words/format.ts";

type Props = { readonly problem: Problem | BoxRefusal; readonly onClear: () => void };

export function Refused({ problem, onClear }: Props) {
  const box = "box" in problem ? problem.box : undefined;
  const thing = "thing" in problem ? problem.thing : undefined;
  useEffect(() => {
    const clear = (event: KeyboardEvent) => event.key === "Escape" && onClear();
    addEventListener("keydown", clear);
    return () => removeEventListener("keydown", clear);
  }, [onClear]);
  const text = problemText(problem);
  const isUnsafe = problem.slug === "battery-not-shippable";
  return (
    <section class="box-refused" role="alert">
      <div class="box-refused-words">
        <Shape name="stop" size={72} />
        <p class="box-word">{isUnsafe ? "Not in any box" : "Not in this box"}</p>
        <p class="box-why">{text.title}</p>
        {problem.detail !== undefined && <p class="big">{problem.detail}</p>}
        <p class="big">{text.next}</p>
        {box !== undefined && (
          <a class="button" href={`#/box/${box}`}>
            Open box {groupCode(box)}
          </a>
        )}
        {isUnsafe && (
          <a class="button" href="#/safe">
            Safe place
          </a>
        )}
        {problem.slug === "code-clash" && thing !== undefined && (
          <a class="button" href={`#/clash/${thing}`}>
            Settle where it is
          </a>
        )}
      </div>
      <Button onPress={onClear} tone="danger main">
        Put it aside, scan on
      </Button>
    </section>
  );
}
