/** Something to know or a refusal: what, why, and what to do next. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { type Problem, problemText } from "../problem.ts";
import { Shape, type ShapeName } from "./Shape.tsx";

type Tone = "stop" | "warn" | "good" | "plain";
const SHAPES: Readonly<Record<Tone, ShapeName>> = { stop: "stop", warn: "warn", good: "done", plain: "open" };

type Props = {
  readonly tone: Tone;
  readonly title: string;
  readonly children?: ComponentChildren;
  /** What it answers: each new one brings it into sight, since the press may have been made far from it. */
  readonly answers?: unknown;
};

export function Notice({ tone, title, children, answers }: Props) {
  const own = useRef<HTMLElement>(null);
  useEffect(() => {
    if (answers != null && own.current !== null) bringIntoSight(own.current);
  }, [answers]);
  return (
    <section ref={own} class={`notice ${tone}`} role={tone === "stop" ? "alert" : "status"}>
      <Shape name={SHAPES[tone]} size={30} />
      <strong>{title}</strong>
      {children}
    </section>
  );
}

/** To the middle, unless it stands clear of head and dock already; how much they cover is said by its scroll margins. */
function bringIntoSight(own: Element): void {
  const { top, bottom } = own.getBoundingClientRect();
  const { scrollMarginTop, scrollMarginBottom } = getComputedStyle(own);
  const isClear = top >= parseFloat(scrollMarginTop) && bottom <= innerHeight - parseFloat(scrollMarginBottom);
  if (!isClear) own.scrollIntoView({ block: "center" });
}

type RefusalProps = {
  readonly problem: Problem;
  /** The way on. */
  readonly children?: ComponentChildren;
  /** Null where it stands by itself, and was not asked for by a press. */
  readonly answers?: unknown;
};

/** A refusal from problems.json. It comes into sight by itself, here and nowhere else. */
export function Refusal({ problem, children, answers = problem }: RefusalProps) {
  const text = problemText(problem);
  return (
    <Notice tone="stop" title={text.title} answers={answers}>
      {problem.detail !== undefined && <p>{problem.detail}</p>}
      <p>{text.next}</p>
      {children}
      {children === undefined && problem.slug === "not-signed-on" && (
        <a class="button" href="#/sign-on">
          Sign on
        </a>
      )}
    </Notice>
  );
}
