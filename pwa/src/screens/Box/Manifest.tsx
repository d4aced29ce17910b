/** The paper that goes with a box: every piece the sealing counted. */
import { state } from "../../current.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { shop, staffName } from "../../facts/people.ts";
import type { Box, Thing } from "../../fold/state.ts";
import { hasBattery } from "../../rules/battery.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { cautionWords, wattHours } from "../../words/battery.ts";
import { purposeName } from "../../words/boxes.ts";
import { dayTime, groupCode, upper } from "../../words/format.ts";
import { valueWord } from "../../words/values.ts";
import { go } from "../route.ts";
import { Batteries } from "./ShippingCaution.tsx";

type Props = { readonly code: string; readonly box: Box; readonly sealed: NonNullable<Box["sealed"]> };

export function Manifest({ code, box, sealed }: Props) {
  const { shop_name, phone } = shop();
  const pieces = sealed.cores.flatMap((core) => {
    const thing = state.value.thing.get(core);
    return thing === undefined ? [] : [{ code: core, thing, clash: false }];
  });
  return (
    <>
      <Page title={`Manifest of box ${groupCode(code)}`} above={[shop_name, phone].filter((t) => t).join(", ")} wide>
        <dl class="facts">
          <dt>To</dt>
          <dd>{supplierName(box.supplier)}</dd>
          <dt>For</dt>
          <dd>{purposeName(box.purpose)}</dd>
          <dt>Inside</dt>
          <dd>
            {sealed.count} {sealed.count === 1 ? "piece" : "pieces"}, {sealed.weight_g} g
          </dd>
          <dt>Sealed</dt>
          <dd>
            {dayTime(sealed.at_ms)}, {staffName(sealed.staff)}
          </dd>
          {box.shipped?.reference != null && <dt>Reference</dt>}
          {box.shipped?.reference != null && <dd>{box.shipped.reference}</dd>}
        </dl>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a table wider than the screen is scrolled by keys too */}
        <section class="scroll" aria-label="Pieces" tabIndex={0}>
          <table class="box-manifest">
            <thead>
              <tr>
                <th scope="col">No.</th>
                <th scope="col">Label</th>
                <th scope="col">Part</th>
                <th scope="col">Condition</th>
                <th scope="col">Battery</th>
                <th scope="col">Job</th>
                <th scope="col">New part</th>
                <th scope="col">Lot of the new part</th>
              </tr>
            </thead>
            <tbody>
              {sealed.cores.map((core, index) => (
                <Row key={core} code={core} number={index + 1} />
              ))}
            </tbody>
          </table>
        </section>
        <Batteries pieces={pieces} purpose={box.purpose} />
      </Page>
      <Dock>
        <Button onPress={() => go(`box/${code}`)} tone="aside">
          Back
        </Button>
        <Button onPress={() => print()} tone="main">
          Print the manifest
        </Button>
      </Dock>
    </>
  );
}

/** A DOA part is itself the new part, so its own lot stands there. */
function Row({ code, number }: { readonly code: string; readonly number: number }) {
  const thing = state.value.thing.get(code);
  const fresh = code.startsWith("P") ? code : (thing?.replaced_by ?? null);
  const lot = fresh === null ? null : (state.value.thing.get(fresh)?.lot ?? null);
  const condition = thing?.condition == null ? "" : valueWord("core_condition", thing.condition);
  return (
    <tr>
      <td data-label="No.">{number}</td>
      <td data-label="Label" class="code">
        {groupCode(code)}
      </td>
      <td data-label="Part">{thing?.name ?? ""}</td>
      <td data-label="Condition">{upper(code.startsWith("P") ? valueWord("verdict", "doa") : condition)}</td>
      <td data-label="Battery">{thing === undefined ? "" : batteryWords(thing)}</td>
      <td data-label="Job" class="code">
        {thing?.job == null ? "" : groupCode(thing.job)}
      </td>
      <td data-label="New part" class="code">
        {fresh === null ? "" : groupCode(fresh)}
      </td>
      <td data-label="Lot of the new part">{lot ?? ""}</td>
    </tr>
  );
}

/** "Loose battery, 11.55 Wh"; empty for a piece without a battery. */
function batteryWords({ shipping_caution, energy_mwh }: Thing): string {
  if (!hasBattery(shipping_caution)) return "";
  return `${cautionWords(shipping_caution)}, ${energy_mwh === null ? "Wh not known" : wattHours(energy_mwh)}`;
}
