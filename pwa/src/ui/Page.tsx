/** The one heading and the content of a screen. */
import type { ComponentChildren } from "preact";

export function Page(props: {
  readonly title: string;
  readonly above?: string;
  readonly wide?: boolean;
  /** As wide as the window: for writing at a desk. */
  readonly full?: boolean;
  readonly children: ComponentChildren;
}) {
  return (
    <main class={`page${props.wide === true ? " wide" : ""}${props.full === true ? " full" : ""}`}>
      <div>
        {props.above !== undefined && <p class="eyebrow">{props.above}</p>}
        <h1>{props.title}</h1>
      </div>
      {props.children}
    </main>
  );
}
