/** What is known of a thing, and the ways to what belongs to it. */
import { state } from "../../current.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { thingName } from "../../views/history.ts";
import { cautionWords, wattHours } from "../../words/battery.ts";
import { purposeName } from "../../words/boxes.ts";
import { groupCode, upper } from "../../words/format.ts";
import { valueName, valueWord } from "../../words/values.ts";
import { coreLabel, partLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";

export function ThingFacts({ code }: { readonly code: string }) {
  const thing = state.value.thing.get(code);
  const job = thing?.job ?? (code.startsWith("J") ? code : null);
  const rows: (readonly [string, string])[] = [];
  if (thing?.supplier != null) rows.push(["Supplier", supplierName(thing.supplier)]);
  if (thing?.lot != null) rows.push(["Lot", thing.lot]);
  if (thing?.verdict != null) rows.push(["Judged", valueName("verdict", thing.verdict)]);
  if (thing?.condition != null) rows.push(["Condition", upper(valueWord("core_condition", thing.condition))]);
  if (thing?.purpose != null) rows.push(["For", purposeName(thing.purpose)]);
  const caution = cautionWords(thing?.shipping_caution ?? null);
  if (caution !== null) {
    rows.push(["Battery", thing?.energy_mwh == null ? caution : `${caution}, ${wattHours(thing.energy_mwh)}`]);
  }
  const replacedBy = thing?.replaced_by ?? null;
  const label = code.startsWith("P") ? partLabel(code) : code.startsWith("C") ? coreLabel(code) : null;
  if (rows.length === 0 && job === null) return null;
  return (
    <>
      {rows.length > 0 && (
        <dl class="facts">
          {rows.map(([name, value]) => (
            <>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </>
          ))}
        </dl>
      )}
      <div class="buttons">
        {job !== null && state.value.job.has(job) && (
          <a class="button" href={`#/job/${job}`}>
            Job {groupCode(job)}
          </a>
        )}
        {replacedBy !== null && (
          <a class="button" href={`#/trace/${replacedBy}`}>
            Replaced by: {thingName(replacedBy)}
          </a>
        )}
        {label !== null && <PrintButton labels={[label]}>Print its label</PrintButton>}
        {code.startsWith("B") && (
          <a class="button" href={`#/box/${code}`}>
            Open the box
          </a>
        )}
      </div>
    </>
  );
}
