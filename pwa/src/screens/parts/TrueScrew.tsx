/** A screw as large as it is, to lay the real one on: only where the screen was calibrated. */
import "../../style/step.css";
import { truePxPerMm } from "../../actions/calibrate.ts";
import type { Fastener } from "../../rules/procedure.ts";
import { lengthMm } from "../../words/format.ts";

/** Heads are only sketched: procedures do not say how large they are. In thread diameters, a guess. */
const HEAD = { wide: 1.9, high: 0.6 };
/** For threads whose diameter cannot be read from their name. */
const SOME_MM = 1.4;

export function TrueScrew({ fastener: f }: { readonly fastener: Fastener }) {
  const px = truePxPerMm();
  if (px === null) return null;
  const thick = Number(/^[MS](\d+(?:\.\d+)?)/.exec(f.thread)?.[1] ?? SOME_MM) * px;
  const long = (f.length_um / 1000) * px;
  const overall = f.head === "countersunk";
  const [wide, high] = [HEAD.wide * thick, HEAD.high * thick];
  // The length begins under a head that stands out, and at the top of one that is sunk (shared/fastener_heads.json).
  const from = overall ? 2 : 2 + high;
  const middle = wide / 2 + 2;
  const head = overall
    ? `M${from} 2v${wide}l${high} ${(thick - wide) / 2}v${-thick}Z`
    : `M2 2h${high}v${wide}h${-high}Z`;
  const below = wide + 8;
  return (
    <p class="step-true">
      <svg
        width={from + long + 2}
        height={below + 8}
        viewBox={`0 0 ${from + long + 2} ${below + 8}`}
        role="img"
        aria-label={`${lengthMm(f.length_um)} at true size`}
      >
        <path d={head} fill="currentColor" />
        <rect
          data-mm={f.length_um / 1000}
          x={from}
          y={middle - thick / 2}
          width={long}
          height={thick}
          fill="currentColor"
        />
        <path
          d={`M${from} ${below - 3}v8M${from + long} ${below - 3}v8M${from} ${below + 1}h${long}`}
          stroke="currentColor"
          fill="none"
        />
      </svg>
      <span class="soft small">true size on this screen</span>
    </p>
  );
}
