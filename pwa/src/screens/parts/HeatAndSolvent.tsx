/** How warm, where and how long; which solvent, where and when. Usual values: the shop's own and the maker's sheet stand above them. */
import "../../style/step.css";
import type { Heat, Solvent } from "../../rules/procedure.ts";
import { clockText } from "../../rules/timer.ts";
import { Shape } from "../../ui/Shape.tsx";

export function HeatOf({ heat, wait_s }: { readonly heat: Heat; readonly wait_s: number }) {
  return (
    <section class="card step-heat" aria-label="Heat">
      <p class="step-heat-value">
        <Shape name="warn" size={30} />
        <strong class="big">
          {heat.usual_c} °C, {clockText(wait_s)} min
        </strong>
      </p>
      <p>
        <strong>{heat.where}.</strong> Measure there with a surface thermometer, never with your palm.
      </p>
      <p class="soft">A usual value. The maker's sheet comes first, then the shop's own.</p>
    </section>
  );
}

export function SolventOf({ solvent }: { readonly solvent: Solvent }) {
  return (
    <section class="card step-heat" aria-label="Solvent">
      <p class="step-heat-value">
        <Shape name="warn" size={30} />
        <strong class="big">{solvent.what}</strong>
      </p>
      <p>
        <strong>{solvent.where}.</strong> A drop, not a flow.
      </p>
      <ul class="step-before">
        <li>The device is cold and power is isolated.</li>
        <li>No heat pad runs nearby.</li>
        <li>Window open or extraction on; nitrile gloves.</li>
      </ul>
    </section>
  );
}
