/** Drawn things: a screw at the procedure's own scale, an angle limit, the tray with its pockets. */
import "../../style/step.css";
import type { Fastener, Procedure } from "../../rules/procedure.ts";
import type { PocketView } from "../../views/ledger.ts";
import { lengthMm } from "../../words/format.ts";

/** The longest screw of a procedure is drawn this long; all others to the same scale. */
const LONGEST_PX = 190;
/** Short screws are drawn no larger than this many pixels a millimetre. */
const MOST_PX_A_MM = 46;

export function Screw({ fastener, procedure }: { readonly fastener: Fastener; readonly procedure: Procedure }) {
  const longest = Math.max(...procedure.fasteners.map((f) => f.length_um));
  const scale = Math.min(LONGEST_PX / longest, MOST_PX_A_MM / 1000);
  const shank = Math.max(8, Math.round(fastener.length_um * scale));
  const head = fastener.head === "countersunk" ? "M2 2V42L14 30V14Z" : "M14 2C6 4 2 12 2 22s4 18 12 20Z";
  const turns = Array.from({ length: Math.max(1, Math.floor(shank / 9)) }, (_, i) => 18 + i * 9);
  return (
    <svg
      class="step-screw"
      width={shank + 18}
      height={44}
      viewBox={`0 0 ${shank + 18} 44`}
      role="img"
      aria-label={`${fastener.head} head, ${lengthMm(fastener.length_um)} long, drawn to scale with the other screws`}
    >
      <path d={head} fill="currentColor" />
      <path d={`M14 14h${shank - 4}l4 4v8l-4 4H14Z`} fill="currentColor" />
      <path d={turns.map((x) => `M${x} 13l-4 18`).join("")} stroke="var(--sheet)" stroke-width="1.6" />
    </svg>
  );
}

/** Half a turn of 90 px radius from the frame that lies flat. */
export function Angle({ what, degrees }: { readonly what: string; readonly degrees: number }) {
  const [cx, cy, r] = [112, 112, 92];
  const at = (deg: number, radius: number): string => {
    const rad = (deg * Math.PI) / 180;
    return `${(cx + radius * Math.cos(rad)).toFixed(1)} ${(cy - radius * Math.sin(rad)).toFixed(1)}`;
  };
  return (
    <figure class="step-angle">
      <svg width={224} height={126} viewBox="0 0 224 126" aria-hidden="true">
        <path d={`M${cx} ${cy}L${at(0, r)}A${r} ${r} 0 0 0 ${at(degrees, r)}Z`} fill="var(--deep-wash)" />
        <path
          d={`M${at(0, r)}A${r} ${r} 0 0 0 ${at(degrees, r)}`}
          fill="none"
          stroke="var(--deep)"
          stroke-width="3"
          stroke-dasharray="7 6"
        />
        <path
          d={`M${cx} ${cy}L${at(0, r)}M${cx} ${cy}L${at(degrees, r)}`}
          stroke="var(--ink)"
          stroke-width="7"
          stroke-linecap="round"
        />
        <circle cx={cx} cy={cy} r={6} fill="var(--ink)" />
      </svg>
      <figcaption>
        <strong>
          {what}: never past {degrees}°
        </strong>
      </figcaption>
    </figure>
  );
}

/** The same limit on a step that is about something else. */
export function Hangs({ what, degrees }: { readonly what: string; readonly degrees: number }) {
  const turn = (degrees * Math.PI) / 180;
  return (
    <p class="mark warn step-hangs">
      <svg width={44} height={32} viewBox="0 0 44 32" aria-hidden="true">
        <path
          d={`M14 27h26M14 27l${(24 * Math.cos(turn)).toFixed(1)} ${(-24 * Math.sin(turn)).toFixed(1)}`}
          stroke="currentColor"
          stroke-width="4"
          stroke-linecap="round"
        />
      </svg>
      <span>
        {what} hangs on its cables: never past {degrees}°
      </span>
    </p>
  );
}

const CELL = { width: 88, height: 84, gap: 6 };

export function TrayDrawing({ pockets }: { readonly pockets: readonly PocketView[] }) {
  const rows = Math.ceil(pockets.length / 4);
  const width = 4 * CELL.width + 3 * CELL.gap + 16;
  const height = rows * CELL.height + (rows - 1) * CELL.gap + 16;
  return (
    <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={pocketsText(pockets)}>
      <rect
        x={1}
        y={1}
        width={width - 2}
        height={height - 2}
        rx={16}
        fill="var(--sunk)"
        stroke="var(--edge)"
        stroke-width={2}
      />
      {pockets.map((p, index) => (
        <Pocket
          key={p.pocket}
          pocket={p}
          x={8 + (index % 4) * (CELL.width + CELL.gap)}
          y={8 + Math.floor(index / 4) * (CELL.height + CELL.gap)}
        />
      ))}
    </svg>
  );
}

function Pocket({ pocket, x, y }: { readonly pocket: PocketView; readonly x: number; readonly y: number }) {
  const lit = pocket.lit !== null;
  const ink = lit ? "var(--on-deep)" : "var(--ink)";
  return (
    <g transform={`translate(${x} ${y})`}>
      <rect
        x={lit ? 3 : 1}
        y={lit ? 3 : 1}
        width={CELL.width - (lit ? 6 : 2)}
        height={CELL.height - (lit ? 6 : 2)}
        rx={10}
        fill={lit ? "var(--deep)" : "var(--sheet)"}
        stroke={lit ? "var(--ink)" : "var(--edge)"}
        stroke-width={lit ? 5 : 2}
      />
      <text x={14} y={32} font-size={24} font-weight={750} fill={ink}>
        {pocket.pocket}
      </text>
      {lit && pocket.count > 0 && (
        <text x={CELL.width - 14} y={31} font-size={16} font-weight={650} text-anchor="end" fill={ink}>
          × {pocket.count}
        </text>
      )}
      <text x={CELL.width / 2} y={65} font-size={lit ? 15 : 16} font-weight={650} text-anchor="middle" fill={ink}>
        {pocketWord(pocket)}
      </text>
    </g>
  );
}

function pocketWord(pocket: PocketView): string {
  if (pocket.lit !== null) return pocket.lit === "into" ? "in here" : "from here";
  return pocket.count > 0 ? `holds ${pocket.count}` : "empty";
}

function pocketsText(pockets: readonly PocketView[]): string {
  const lines = pockets.filter((p) => p.name !== null || p.count > 0);
  const use = { into: ", this step puts into it", from: ", this step takes from it" };
  return `Tray. ${lines.map((p) => `Pocket ${p.pocket}: ${p.count} ${p.name ?? ""}${p.lit === null ? "" : use[p.lit]}`).join(". ")}`;
}
