/** What is known of a thing, and the ways to what belongs to it. */
import { state } from "../../current.ts";
import { groupCode } from "../../ui/format.ts";
import { CONDITIONS, purposeName, wattHours } from "../../views/boxes.ts";
import { supplierName } from "../../views/catalogue.ts";
import { thingName } from "../../views/history.ts";

const VERDICTS = {
  good: "Good",
  doa: "DOA: failed before it was ever fitted",
  doubtful: "Doubtful: failed, but the board may be at fault",
} as const;
const BATTERY: Readonly<Record<string, string>> = {
  battery_inside: "Battery inside",
  battery_damaged: "Damaged battery: set apart, ask a licensed shipper",
};

export function ThingFacts({ code }: { readonly code: string }) {
  const thing = state.value.thing.get(code);
  const job = thing?.job ?? (code.startsWith("J") ? code : null);
  const rows: (readonly [string, string])[] = [];
  if (thing?.supplier != null) rows.push(["Supplier", supplierName(thing.supplier)]);
  if (thing?.lot != null) rows.push(["Lot", thing.lot]);
  if (thing?.verdict != null) rows.push(["Judged", VERDICTS[thing.verdict]]);
  if (thing?.condition != null) rows.push(["Condition", CONDITIONS[thing.condition] ?? thing.condition]);
  if (thing?.purpose != null) rows.push(["For", purposeName(thing.purpose)]);
  const caution = BATTERY[thing?.shipping_caution ?? ""];
  if (caution !== undefined)
    rows.push(["Battery", thing?.energy_mwh == null ? caution : `${caution}, ${wattHours(thing.energy_mwh)}`]);
  const replacedBy = thing?.replaced_by ?? null;
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
      <div class="ship-papers">
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
        {code.startsWith("B") && (
          <a class="button" href={`#/box/${code}`}>
            Open the box
          </a>
        )}
      </div>
    </>
  );
}
