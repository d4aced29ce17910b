/** Timers of all jobs on this station, for screens that are no bench. */
import { timers } from "../../actions/timer.ts";
import { clockText, leftS } from "../../rules/timer.ts";
import { Shape } from "../../ui/Shape.tsx";
import { groupCode } from "../../words/format.ts";
import { useNow } from "./now.ts";

export function TimersLine() {
  const now = useNow(timers.value.some((t) => !t.told));
  return (
    <>
      {timers.value.map((t) => {
        const left = t.told ? 0 : leftS(t, now);
        return (
          <a class="button" href={`#/bench/${t.job}`} key={`${t.job}:${t.step}`}>
            <Shape name={left === 0 ? "done" : "now"} />
            {left === 0 ? "Time is up" : `Timer: ${clockText(left)}`}, job {groupCode(t.job)}
          </a>
        );
      })}
    </>
  );
}
