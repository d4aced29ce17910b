/** All steps of the job, each with its state by shape and word. */

import type { Bench } from "../../facts/work.ts";
import { Shape } from "../../ui/Shape.tsx";

export function StepList({ bench }: { readonly bench: Bench }) {
  return (
    <ol class="bench-steps">
      {bench.steps.map((step) => {
        const isNow = step.id === bench.open?.id;
        const done = bench.job.steps[step.id] !== undefined;
        const word = isNow ? "now" : done ? "done" : "open";
        return (
          <li key={step.id} class={word} aria-current={isNow ? "step" : undefined}>
            <Shape name={word} size={22} />
            <span>{step.title}</span>
            <span class="soft small">{word}</span>
          </li>
        );
      })}
    </ol>
  );
}
