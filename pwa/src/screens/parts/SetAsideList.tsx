/** Entries that break the format (F2.6): kept, forwarded, without effect. */
import { problemText } from "../../problem.ts";
import type { SetAside } from "../../views/trace.ts";

const SHOWN_CHARACTERS = 2_000;

export function SetAsideList({ rows }: { readonly rows: readonly SetAside[] }) {
  return (
    <ul class="rows">
      {rows.map((row) => (
        <li key={row.position}>
          <p>
            <strong>{problemText({ slug: row.slug }).title}</strong>, entry {row.id}, place {row.position} in the log
          </p>
          <details>
            <summary>Its text as it came</summary>
            <pre class="raw">{row.text.slice(0, SHOWN_CHARACTERS)}</pre>
          </details>
        </li>
      ))}
    </ul>
  );
}
