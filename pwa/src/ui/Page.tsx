/** The one heading and the content of a screen. */
import type { ComponentChildren } from "preact";

export function Page(props: {
  readonly title: string;
  readonly above?: string;
  readonly wide?: boolean;
  /** As wide as the window: for writing at a desk. */
  readonly full?: boolean;
  /** A place and no step: on a phone the way to the other places stays below the dock. */
  readonly place?: boolean;
  readonly children: ComponentChildren;
}) {
  const kinds = (["wide", "full", "place"] as const).filter((kind) => props[kind] === true);
  return (
    <main class={["page", ...kinds].join(" ")}>
      <div>
        {props.above !== undefined && <p class="eyebrow">{props.above}</p>}
        <h1>{props.title}</h1>
      </div>
      {props.children}
    </main>
  );
}
