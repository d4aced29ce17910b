/** Something to know or a refusal: what, why, and what to do next. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { type Problem, problemText } from "../problem.ts";
import { Shape, type ShapeName } from "./Shape.tsx";

type Tone = "stop" | "warn" | "good" | "plain";
const SHAPES: Readonly<Record<Tone, ShapeName>> = { stop: "stop", warn: "warn", good: "done", plain: "open" };

export function Notice(props: { readonly tone: Tone; readonly title: string; readonly children?: ComponentChildren }) {
  return (
    <section class={`notice ${props.tone}`} role={props.tone === "stop" ? "alert" : "status"}>
      <Shape name={SHAPES[props.tone]} size={30} />
      <strong>{props.title}</strong>
      {props.children}
    </section>
  );
}

/** A refusal from problems.json, brought into sight. `children` may offer the way on. */
export function Refusal({ problem, children }: { readonly problem: Problem; readonly children?: ComponentChildren }) {
  const text = problemText(problem);
  const end = useRef<HTMLSpanElement>(null);
  useEffect(() => end.current?.parentElement?.scrollIntoView({ block: "nearest" }), [problem]);
  return (
    <Notice tone="stop" title={text.title}>
      {problem.detail !== undefined && <p>{problem.detail}</p>}
      <p>{text.next}</p>
      {children}
      {children === undefined && problem.slug === "not-signed-on" && (
        <a class="button" href="#/sign-on">
          Sign on
        </a>
      )}
      <span ref={end} hidden />
    </Notice>
  );
}
