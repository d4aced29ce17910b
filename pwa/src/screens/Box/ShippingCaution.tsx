/** The shipping caution, and what the watt-hours prompt: never a classification. */
import type { Piece } from "../../facts/boxes.ts";
import { type Energy, type EnergySum, energyOf, SMALL_LIMITS, showsSmallLimits } from "../../rules/boxes.ts";
import { Notice } from "../../ui/Notice.tsx";
import { caution } from "../../views/cautions.ts";
import { thingName } from "../../views/history.ts";
import { wattHours } from "../../words/battery.ts";

export function ShippingCaution() {
  const shipping = caution("shipping");
  return (
    <Notice tone="warn" title={shipping.name}>
      <p>{shipping.text}</p>
    </Notice>
  );
}

/** Shown for every box that is for batteries or holds one: loose ones and those inside of parts, apart. */
export function Batteries({ pieces, purpose }: { readonly pieces: readonly Piece[]; readonly purpose: string | null }) {
  const energy = energyOf(pieces.map((p) => ({ ...p.thing, code: p.code })));
  const { loose, inside, unsafe } = energy;
  if (purpose !== "battery" && loose.pieces + inside.pieces + unsafe.length === 0) return null;
  return (
    <section class="stack" aria-labelledby="box-energy">
      <h2 id="box-energy">Batteries</h2>
      {unsafe.length > 0 && (
        <Notice tone="stop" title="Not to be shipped: a failed or damaged battery">
          <p>{unsafe.map(thingName).join("; ")}.</p>
          <p>Take it out and bring it to the safe place.</p>
          <a class="button" href="#/safe">
            Safe place
          </a>
        </Notice>
      )}
      <dl class="facts">
        <dt>Loose</dt>
        <dd>
          {energyWords(loose)}
          {loose.pieces > 0 && <Prompt>{UN_PROMPTS.loose}</Prompt>}
        </dd>
        <dt>In parts</dt>
        <dd>
          {energyWords(inside)}
          {inside.pieces > 0 && <Prompt>{UN_PROMPTS.inside}</Prompt>}
        </dd>
        <SmallLimits energy={energy} purpose={purpose} />
      </dl>
      <ShippingCaution />
    </section>
  );
}

/** UN 3480 and 3481, from a secondary source. What is asked, never what it is. */
const UN_PROMPTS = {
  loose: "Ask the shipper about UN3480, batteries by themselves.",
  inside:
    "Ask the shipper about UN3481, batteries packed with or contained in equipment, and whether such a part counts as equipment.",
} as const;

function SmallLimits({ energy, purpose }: { readonly energy: EnergySum; readonly purpose: string | null }) {
  if (!showsSmallLimits(purpose, energy.unsafe)) {
    return (
      <>
        <dt>Small limits</dt>
        <dd>
          Not shown here
          <Prompt>What goes to a recycler, or failed, may have no such relief. Ask the shipper.</Prompt>
        </dd>
      </>
    );
  }
  return (
    <>
      <dt>Small limits</dt>
      <dd>
        Up to {wattHours(SMALL_LIMITS.cell_mwh)} a cell, {wattHours(SMALL_LIMITS.battery_mwh)} a battery
        <Prompt>{SMALL_LIMITS.source}</Prompt>
      </dd>
      <dt>Above a limit</dt>
      <dd>
        {energy.over_cell.length === 0
          ? "None of the known ones"
          : energy.over_cell.map(over(energy.over_battery)).join("; ")}
      </dd>
    </>
  );
}

const Prompt = ({ children }: { readonly children: string }) => <span class="soft small subline">{children}</span>;

/** "3 pieces, 34.65 Wh, 1 of them not known". */
function energyWords({ pieces, sum_mwh, unknown }: Energy): string {
  if (pieces === 0) return "None";
  const count = pieces === 1 ? "1 piece" : `${pieces} pieces`;
  if (unknown === pieces) return `${count}, energy not known`;
  return `${count}, ${wattHours(sum_mwh)}${unknown > 0 ? `, and ${unknown} not known` : ""}`;
}

const over = (overBattery: readonly string[]) => (code: string) =>
  `${thingName(code)}: above the ${overBattery.includes(code) ? "battery" : "cell"} limit`;
