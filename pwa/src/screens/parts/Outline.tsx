/** A drawn front, back or edge with numbered marks. Drawn here; it is no model that exists. */
import "../../style/outline.css";
import type { Side } from "../../events/kinds.gen.ts";
import { upper } from "../../words/format.ts";
import { valueWord } from "../../words/values.ts";

export type Spot = { readonly id: string; readonly x_pm: number; readonly y_pm: number; readonly number: number };

type Props = {
  readonly side: Side;
  readonly spots: readonly Spot[];
  /** Called with the place that was pressed; without it the drawing is for looking only. */
  readonly onPlace?: (x_pm: number, y_pm: number) => void;
};

/** Half as wide as high: x counts twice. */
const WIDTH = 500;
const HEIGHT = 1000;

export function Outline({ side, spots, onPlace }: Props) {
  const place = (event: MouseEvent): void => {
    const box = (event.currentTarget as SVGElement).getBoundingClientRect();
    onPlace?.(permille((event.clientX - box.left) / box.width), permille((event.clientY - box.top) / box.height));
  };
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the zones beside it do the same by keyboard
    <svg
      class={onPlace === undefined ? "device-outline" : "device-outline press"}
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={`${upper(valueWord("side", side))} with ${spots.length === 1 ? "one mark" : `${spots.length} marks`}`}
      onClick={onPlace === undefined ? undefined : place}
    >
      <Drawing side={side} />
      {spots.map((spot) => (
        <g key={spot.id} transform={`translate(${(spot.x_pm * WIDTH) / 1000} ${(spot.y_pm * HEIGHT) / 1000})`}>
          <circle class="spot" r={40} />
          <text class="spot-number" text-anchor="middle" dy="16">
            {spot.number}
          </text>
        </g>
      ))}
    </svg>
  );
}

function Drawing({ side }: { readonly side: Side }) {
  switch (side) {
    case "front":
      return (
        <g class="drawing">
          <rect x="14" y="8" width="472" height="984" rx="64" />
          <rect class="inner" x="48" y="96" width="404" height="848" rx="32" />
          <path d="M205 54h90" />
          <circle cx="150" cy="54" r="12" />
        </g>
      );
    case "back":
      return (
        <g class="drawing">
          <rect x="14" y="8" width="472" height="984" rx="64" />
          <rect x="58" y="58" width="128" height="200" rx="44" />
          <circle cx="122" cy="116" r="34" />
          <circle cx="122" cy="206" r="16" />
          <path d="M14 838h472" />
        </g>
      );
    case "edge":
      return (
        <g class="drawing">
          <rect x="14" y="8" width="472" height="984" rx="64" />
          <rect class="inner" x="74" y="68" width="352" height="864" rx="20" />
          <path d="M44 230v92M44 366v92M456 260v140M205 962h90M120 962h40M340 962h40M120 38h70" />
        </g>
      );
  }
}

const permille = (share: number): number => Math.max(0, Math.min(1000, Math.round(share * 1000)));
