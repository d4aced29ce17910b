/** Tests before and after for the customer: a line for each point that needs one, the others in a sentence. */
import type { Seen } from "../../rules/attribution.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import type { CustomerRecord } from "../../views/record.ts";

const LOOK: Readonly<Record<Seen, readonly [ShapeName, string]>> = {
  pass: ["done", "good"],
  fail: ["stop", "stop"],
  cannot: ["warn", "warn"],
  none: ["open", ""],
};

export function RecordTests({ record }: { readonly record: CustomerRecord }) {
  if (record.rows.length + record.alike.length === 0) return null;
  return (
    <section class="stack" aria-label="Tests before and after">
      <h2>Tests before and after</h2>
      {record.rows.length > 0 && (
        <table class="record-tests">
          <thead>
            <tr>
              <th scope="col">Point</th>
              <th scope="col">Came in</th>
              <th scope="col">New part</th>
              <th scope="col">At the end</th>
            </tr>
          </thead>
          {record.rows.map((row) => (
            <tbody key={row.point}>
              <tr>
                <th scope="row">{row.name}</th>
                {row.results.map(([seen, word], stage) => (
                  <td key={stage /* the three stages, always in this order */}>
                    {seen === "none" ? (
                      <span class="soft">{word}</span>
                    ) : (
                      <span class={`mark ${LOOK[seen][1]}`}>
                        <Shape name={LOOK[seen][0]} size={18} />
                        {word}
                      </span>
                    )}
                  </td>
                ))}
              </tr>
              <tr>
                <td colSpan={4}>{row.says}</td>
              </tr>
            </tbody>
          ))}
        </table>
      )}
      {record.alike.map(([says, names]) => (
        <p key={says}>
          <strong>{says}</strong> {names.join(", ")}
        </p>
      ))}
    </section>
  );
}
