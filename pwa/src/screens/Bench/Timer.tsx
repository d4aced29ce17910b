/** The waiting time of a step: started here, running wherever the person goes. */
import { dropTimer, startTimer, timers } from "../../actions/timer.ts";
import type { Bench } from "../../facts/work.ts";
import type { Step } from "../../rules/procedure.ts";
import { clockText, leftS } from "../../rules/timer.ts";
import { Button } from "../../ui/Dock.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { useNow } from "../parts/now.ts";

type Props = { readonly bench: Bench; readonly step: Step; readonly wait_s: number };

export function StepTimer({ bench, step, wait_s }: Props) {
  const timer = timers.value.find((t) => t.job === bench.code && t.step === step.id);
  const now = useNow(timer !== undefined && !timer.told);
  const start = (): void => void startTimer(bench.code, step.id, step.title, wait_s);
  const drop = (): void => void dropTimer(bench.code, step.id);
  if (timer === undefined) {
    return (
      <section class="hands-timer" aria-label="Timer">
        <span class="hands-clock">{clockText(wait_s)}</span>
        <Button onPress={start}>Start the timer</Button>
      </section>
    );
  }
  const left = timer.told ? 0 : leftS(timer, now);
  if (left === 0) {
    return (
      <section class="hands-timer over" aria-label="Timer">
        <strong class="mark good big" role="status">
          <Shape name="done" size={30} />
          Time is up
        </strong>
        <Button onPress={start}>Once more</Button>
        <Button onPress={drop} tone="plain">
          Seen
        </Button>
      </section>
    );
  }
  return (
    <section class="hands-timer" aria-label="Timer">
      <span class="hands-clock" role="timer">
        {clockText(left)}
      </span>
      <span class="mark now">
        <Shape name="now" size={22} />
        Running, on other screens too
      </span>
      <Button onPress={drop} tone="plain">
        Stop the timer
      </Button>
    </section>
  );
}
