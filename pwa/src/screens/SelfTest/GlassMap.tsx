/** The glass in small: which cells did not answer, and where a person saw something. */
import { coveragePct, deadZone, type Spots, type Touch } from "../../facts/selfTest.ts";

export function GlassMap({ touch }: { readonly touch: Touch }) {
  const { columns, rows, reached } = touch;
  const pct = coveragePct(touch);
  const isWhole = !reached.includes("0");
  return (
    <figure class="selftest-figure">
      <svg
        class="selftest-glass"
        viewBox={`0 0 ${columns} ${rows}`}
        role="img"
        aria-label={isWhole ? "Every cell answered" : `${pct} % answers, dead cells ${deadZone(touch)}`}
      >
        <path class="reached" d={cells(touch, "1")} />
        <path class="dead" d={cells(touch, "0")} />
        {/* Crossed as well as coloured. */}
        <path class="cross" d={crosses(touch)} />
      </svg>
      <figcaption class="soft small">
        {isWhole ? "Every cell answered." : "Crossed cells did not answer."} {columns} by {rows} cells.
      </figcaption>
    </figure>
  );
}

export function SpotMap({ spots }: { readonly spots: Spots }) {
  return (
    <figure class="selftest-figure">
      <svg class="selftest-glass" viewBox="0 0 100 200" role="img" aria-label={`${spots.length} places shown`}>
        <path class="sheet" d="M0 0h100v200H0z" />
        {spots.map(([x, y]) => (
          <circle key={`${x}/${y}`} class="spot" cx={x / 10} cy={y / 5} r="6" />
        ))}
      </svg>
      <figcaption class="soft small">Where something was seen.</figcaption>
    </figure>
  );
}

const GAP = 0.06;

const cells = (touch: Touch, bit: string): string =>
  placesOf(touch, bit)
    .map(([x, y]) => `M${x + GAP} ${y + GAP}h${1 - 2 * GAP}v${1 - 2 * GAP}h${2 * GAP - 1}z`)
    .join("");

const crosses = (touch: Touch): string =>
  placesOf(touch, "0")
    .map(([x, y]) => `M${x + 0.25} ${y + 0.25}l.5 .5M${x + 0.75} ${y + 0.25}l-.5 .5`)
    .join("");

const placesOf = ({ columns, reached }: Touch, bit: string): readonly (readonly [number, number])[] =>
  [...reached].flatMap((b, cell) => (b === bit ? [[cell % columns, Math.floor(cell / columns)] as const] : []));
