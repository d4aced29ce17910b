/** What a yes leads to, at once: the words of each way, the more dangerous first, and the emergency page for a battery. */
import type { ComponentChildren } from "preact";
import "../../style/safety.css";
import { pathWords, type UnsafePath } from "../../rules/safety.ts";
import { Notice } from "../../ui/Notice.tsx";

type Props = { readonly paths: readonly UnsafePath[]; readonly children?: ComponentChildren };

export function UnsafeNotice({ paths, children }: Props) {
  return (
    <>
      {paths.map((path) => {
        const { title, do: lines } = pathWords(path);
        return (
          <Notice tone="stop" title={title} key={path}>
            <ul class="safety-do">
              {lines.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            {path === "battery" && <EmergencyLink />}
            {children}
          </Notice>
        );
      })}
    </>
  );
}

/** One press to what the shop wrote for an emergency. */
export function EmergencyLink() {
  return (
    <a class="button danger" href="#/emergency">
      Emergency
    </a>
  );
}
