/** The tries of the pre-fit test so far, the last one last. */
import { state } from "../../current.ts";
import type { Bench } from "../../facts/work.ts";
import { tryActions } from "../../rules/prefit.ts";
import { Shape } from "../../ui/Shape.tsx";
import { groupCode } from "../../words/format.ts";
import { pointNames } from "../../words/points.ts";

export function Tries({ bench }: { readonly bench: Bench }) {
  if (bench.job.tries.length === 0) return null;
  return (
    <ol class="rows" aria-label="Tries so far">
      {bench.job.tries.map((t) => (
        <li key={t.event}>
          <span class={`mark ${t.outcome === "pass" ? "good" : "stop"}`}>
            <Shape name={t.outcome === "pass" ? "done" : "stop"} />
            Try {t.try}
            {tryActions[t.action].past !== undefined && `, ${tryActions[t.action].past}`}:{" "}
            {t.outcome === "pass" ? "works" : "fails"}
          </span>
          <p class="soft">
            {t.part !== null && (
              <>
                Unit <span class="code">{groupCode(t.part)}</span>, lot{" "}
                {state.value.thing.get(t.part)?.lot ?? "not known"}
                {". "}
              </>
            )}
            {t.failed.length > 0 && <>Failed: {pointNames(t.failed)}</>}
          </p>
        </li>
      ))}
    </ol>
  );
}
