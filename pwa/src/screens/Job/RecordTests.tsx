/** Tests before and after for the customer: a line for each point that needs one, the others in a sentence. */
import recordTable from "@shared/record.json";
import type { Seen } from "../../rules/attribution.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import type { Sheet } from "../../views/record.ts";
import { valueWord } from "../../words/values.ts";

const LOOK: Readonly<Record<Seen, readonly [ShapeName, string]>> = {
  pass: ["done", "good"],
  fail: ["stop", "stop"],
  cannot: ["warn", "warn"],
  none: ["open", ""],
};

const { headings, columns } = recordTable;

export function RecordTests({ sheet }: { readonly sheet: Pick<Sheet, "rows" | "alike"> }) {
  if (sheet.rows.length + sheet.alike.length === 0) return null;
  return (
    <section class="stack" aria-label={headings.tests}>
      <h2>{headings.tests}</h2>
      {sheet.rows.length > 0 && (
        <table class="record-tests">
          <thead>
            <tr>
              <th scope="col">{columns.point}</th>
              <th scope="col">{columns.intake}</th>
              <th scope="col">{columns.prefit}</th>
              <th scope="col">{columns.final}</th>
            </tr>
          </thead>
          {sheet.rows.map((row) => (
            <tbody key={row.name}>
              <tr>
                <th scope="row">{row.name}</th>
                {row.results.map((seen, stage) => (
                  <td key={stage /* the three stages, always in this order */}>
                    {seen === "none" ? (
                      <span class="soft">{recordTable.lines.not_tested}</span>
                    ) : (
                      <span class={`mark ${LOOK[seen][1]}`}>
                        <Shape name={LOOK[seen][0]} size={18} />
                        {valueWord("test_result", seen)}
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
      {sheet.alike.map(([says, names]) => (
        <p key={says}>
          <strong>{says}</strong> {names}
        </p>
      ))}
    </section>
  );
}
