/** The place of the one main action, under the thumb. Put it directly after the page's <main>. */
import type { ComponentChildren } from "preact";

export function Dock({ children }: { readonly children: ComponentChildren }) {
  return (
    <section class="dock" aria-label="Next">
      <div class="dock-row">{children}</div>
    </section>
  );
}

type ButtonProps = {
  readonly onPress: () => void;
  readonly children: ComponentChildren;
  readonly tone?: "main" | "danger" | "danger main" | "plain" | "aside";
  readonly disabled?: boolean;
};

export function Button({ onPress, children, tone, disabled }: ButtonProps) {
  return (
    <button type="button" class={`button ${tone ?? ""}`} onClick={onPress} disabled={disabled === true}>
      {children}
    </button>
  );
}
