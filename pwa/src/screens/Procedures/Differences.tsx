/** What the draft changes against a revision of the shop. */
import { useState } from "preact/hooks";
import { revisions } from "../../facts/procedureDraft.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { type Difference, differences } from "../../rules/procedureDifference.ts";
import { tidied } from "../../rules/procedureEdit.ts";
import { Select } from "../../ui/fields.tsx";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";

const WORDS: Readonly<Record<Difference["what"], readonly [ShapeName, string]>> = {
  new: ["now", "New"],
  gone: ["stop", "Gone"],
  changed: ["open", "Changed"],
  moved: ["away", "Moved"],
};

export function Differences({ procedure, base }: { readonly procedure: Procedure; readonly base: number }) {
  const kept = revisions(procedure.id);
  const [against, setAgainst] = useState(String(base));
  const older = kept.find((p) => String(p.rev) === against) ?? kept[0];
  if (older === undefined) return <p class="soft">The shop has no revision of this procedure yet: all of it is new.</p>;
  const found = differences(older, tidied(procedure));
  return (
    <div class="stack">
      <Select
        label="Against"
        options={kept.map((p) => ({ value: String(p.rev), name: `Revision ${p.rev}` }))}
        value={String(older.rev)}
        onChoose={(rev) => setAgainst(rev ?? against)}
      />
      {found.length === 0 && <p class="soft">No difference.</p>}
      <ul class="rows" aria-label="Differences">
        {found.map((difference) => (
          <li key={`${difference.what} ${difference.where}`} class="stack">
            <p class="mark">
              <Shape name={WORDS[difference.what][0]} size={20} />
              {WORDS[difference.what][1]}: {difference.where}
            </p>
            {difference.lines.map((line) => (
              <dl class="proc-line" key={line.field}>
                <dt>{line.field}</dt>
                <dd>
                  <del>{line.before}</del>
                </dd>
                <dd>
                  <ins>{line.after}</ins>
                </dd>
              </dl>
            ))}
          </li>
        ))}
      </ul>
    </div>
  );
}
