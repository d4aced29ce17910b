/** What the tests left on the customer's device: a list to take off, and one answer. */
import type { Traces as Answer } from "../../events/kinds.gen.ts";
import type { Job } from "../../fold/state.ts";
import { tracesOf } from "../../rules/traces.ts";
import { Choice } from "../../ui/fields.tsx";
import { choicesOf } from "../../words/values.ts";

type Props = { readonly job: Job; readonly value: Answer | null; readonly onChoose: (value: Answer) => void };

export function Traces({ job, value, onChoose }: Props) {
  const traces = tracesOf(job);
  return (
    <section class="stack" aria-labelledby="leftover-traces">
      <h2 id="leftover-traces">Test traces on the customer's device</h2>
      {traces.length === 0 ? (
        <p>The tests that were read leave none. Look all the same: intake may have left some.</p>
      ) : (
        <ul class="rows">
          {traces.map((trace) => (
            <li key={trace.undo}>
              {trace.undo}
              <span class="soft small two-lines">{trace.points.join(", ")}</span>
            </li>
          ))}
        </ul>
      )}
      <Choice label="Test traces" options={choicesOf("traces")} value={value} onChoose={onChoose} />
    </section>
  );
}
