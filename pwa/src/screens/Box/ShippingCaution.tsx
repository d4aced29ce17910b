/** The shipping caution, and what the watt-hours prompt: never a classification. */
import { energyOf, SMALL_LIMITS } from "../../rules/boxes.ts";
import { Notice } from "../../ui/Notice.tsx";
import { type Piece, wattHours } from "../../views/boxes.ts";
import { caution } from "../../views/cautions.ts";
import { thingName } from "../../views/history.ts";

export function ShippingCaution() {
  const shipping = caution("shipping");
  return (
    <Notice tone="warn" title={shipping.name}>
      <p>{shipping.text}</p>
    </Notice>
  );
}

/** Shown for every box that is for batteries or holds a part with one inside. */
export function Batteries({ pieces, purpose }: { readonly pieces: readonly Piece[]; readonly purpose: string | null }) {
  const charged = pieces.filter((p) => p.thing.energy_mwh !== null || hasBattery(p));
  if (purpose !== "battery" && charged.length === 0) return null;
  const energy = energyOf(charged.map((p) => ({ ...p.thing, code: p.code })));
  return (
    <section class="stack" aria-labelledby="box-energy">
      <h2 id="box-energy">Batteries</h2>
      <dl class="facts">
        <dt>Watt-hours in all</dt>
        <dd>
          {wattHours(energy.sum_mwh)}
          {energy.unknown > 0 && `, and ${energy.unknown} not known`}
        </dd>
        <dt>Small limits</dt>
        <dd>
          Up to {wattHours(SMALL_LIMITS.cell_mwh)} a cell, {wattHours(SMALL_LIMITS.battery_mwh)} a battery
          <span class="soft small ship-source">{SMALL_LIMITS.source}</span>
        </dd>
        <dt>Above a limit</dt>
        <dd>
          {energy.over_cell.length === 0
            ? "None of the known ones"
            : energy.over_cell.map(over(energy.over_battery)).join("; ")}
        </dd>
      </dl>
      <ShippingCaution />
    </section>
  );
}

const hasBattery = (piece: Piece): boolean =>
  piece.thing.shipping_caution === "battery_inside" || piece.thing.shipping_caution === "battery_damaged";

const over = (overBattery: readonly string[]) => (code: string) =>
  `${thingName(code)}: above the ${overBattery.includes(code) ? "battery" : "cell"} limit`;
