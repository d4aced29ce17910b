/** A refusal below a long form: it comes into sight by itself, since the press that caused it was made in the dock. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { Problem } from "../../problem.ts";
import { Refusal } from "../../ui/Notice.tsx";

export function SeenRefusal({
  problem,
  children,
}: {
  readonly problem: Problem;
  readonly children?: ComponentChildren;
}) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => place.current?.scrollIntoView({ block: "center" }), [problem]);
  return (
    <div ref={place}>
      <Refusal problem={problem}>{children}</Refusal>
    </div>
  );
}
