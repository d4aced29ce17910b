/** Broken rules that the fold noticed (F5.9): shown, never hidden, never a refusal. */
import type { Finding } from "../../fold/state.ts";
import { isSlug, problemText } from "../../problem.ts";
import { Notice } from "../../ui/Notice.tsx";

export function Findings({ findings }: { readonly findings: readonly Finding[] }) {
  const slugs = [...new Set(findings.map((f) => f.slug))].filter(isSlug);
  return (
    <>
      {slugs.map((slug) => {
        const count = findings.filter((f) => f.slug === slug).length;
        const { title, next } = problemText({ slug });
        return (
          <Notice tone="warn" title={count === 1 ? title : `${title} (${count} times)`} key={slug}>
            <p>{next}</p>
          </Notice>
        );
      })}
    </>
  );
}
