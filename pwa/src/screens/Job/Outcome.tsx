/** What came of a job, as it is said to the customer: repaired or not, why, parts, what still fails, warranty. */
import { Fragment } from "preact";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import type { Sheet, Sign } from "../../views/record.ts";

const LOOK: Readonly<Record<Sign, readonly [ShapeName, string]>> = {
  done: ["done", "good"],
  under_way: ["now", "now"],
  warn: ["warn", "warn"],
  stop: ["stop", "stop"],
};

export function Outcome({ sign, outcome, reason, facts }: Pick<Sheet, "sign" | "outcome" | "reason" | "facts">) {
  const [shape, tone] = LOOK[sign];
  return (
    <div class="stack">
      <p class={`big mark ${tone}`}>
        <Shape name={shape} size={30} />
        {outcome}
      </p>
      {reason.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <dl class="facts">
        {facts.map(([name, said]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{said}</dd>
          </Fragment>
        ))}
      </dl>
    </div>
  );
}
