/** A photo in large with its marks drawn over it; the photo itself is never changed. */
import { useState } from "preact/hooks";
import type { PhotoMark } from "../../../fold/state.ts";
import "../../../style/photos.css";
import { Shape } from "../../../ui/Shape.tsx";
import { usePhoto } from "./usePhoto.ts";

type Size = { readonly width: number; readonly height: number };
type Drawable = Pick<PhotoMark, "shape" | "x_pm" | "y_pm"> &
  Partial<Pick<PhotoMark, "r_pm" | "to_x_pm" | "to_y_pm">> & { readonly number: number };

type Props = {
  readonly hash: string;
  readonly alt: string;
  /** Known from the record before the photo is there. */
  readonly size: Size | null;
  readonly marks: readonly Drawable[];
  /** Called with the place that was pressed. */
  readonly onPlace?: (x_pm: number, y_pm: number) => void;
};

export function MarkedPhoto({ hash, alt, size, marks, onPlace }: Props) {
  const full = usePhoto(hash, "full");
  const small = usePhoto(hash, "thumb");
  const [seen, setSeen] = useState<Size>({ width: 4, height: 3 });
  const { width, height } = size ?? seen;
  const shown = full.isAway ? small : full;
  const place = (event: MouseEvent): void => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    onPlace?.(permille((event.clientX - box.left) / box.width), permille((event.clientY - box.top) / box.height));
  };
  return (
    <figure class="photo-large">
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: the buttons below it do the same by keyboard */}
      {/* biome-ignore lint/a11y/noStaticElementInteractions: as above */}
      <div
        class={onPlace === undefined ? "photo-frame" : "photo-frame press"}
        style={{ aspectRatio: `${width} / ${height}`, maxWidth: `calc(70dvh * ${(width / height).toFixed(4)})` }}
        onClick={onPlace === undefined ? undefined : place}
      >
        {shown.isAway ? (
          <span class="photo-away">
            <Shape name="away" size={36} />
            Not on this station
          </span>
        ) : (
          shown.src !== null && (
            <img
              src={shown.src}
              alt={alt}
              onError={shown.onAway}
              onLoad={({ currentTarget: { naturalWidth, naturalHeight } }) =>
                setSeen({ width: naturalWidth, height: naturalHeight })
              }
            />
          )
        )}
        <MarksOverlay width={width} height={height} marks={marks} />
      </div>
      {full.isAway && (
        <figcaption class="soft">
          {small.isAway
            ? "This photo is shown once the server is reached and the station that took it has sent it."
            : "This is the small picture. The whole photo is shown once the server is reached."}
        </figcaption>
      )}
    </figure>
  );
}

function MarksOverlay({ width, height, marks }: Size & { readonly marks: readonly Drawable[] }) {
  const longer = Math.max(width, height);
  const badge = longer / 34;
  return (
    <svg class="photo-marks" viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {marks.map((mark) => {
        const [x, y] = [(mark.x_pm * width) / 1000, (mark.y_pm * height) / 1000];
        const r = ((mark.r_pm ?? 0) * longer) / 1000;
        const path =
          mark.shape === "circle"
            ? `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`
            : arrow(x, y, ((mark.to_x_pm ?? 0) * width) / 1000, ((mark.to_y_pm ?? 0) * height) / 1000, longer / 30);
        const [at_x, at_y] = mark.shape === "circle" ? [x + r * 0.71, y - r * 0.71] : [x, y];
        return (
          <g key={mark.number}>
            <path class="casing" d={path} stroke-width={longer / 70} />
            <path class="line" d={path} stroke-width={longer / 150} />
            <circle
              class="badge"
              cx={inside(at_x, badge, width)}
              cy={inside(at_y, badge, height)}
              r={badge}
              stroke-width={longer / 300}
            />
            <text
              x={inside(at_x, badge, width)}
              y={inside(at_y, badge, height)}
              dy="0.36em"
              text-anchor="middle"
              font-size={badge * 1.35}
            >
              {mark.number}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** A shaft with an open head, which is clear at any size. */
function arrow(x: number, y: number, to_x: number, to_y: number, head: number): string {
  const angle = Math.atan2(to_y - y, to_x - x);
  const barb = (turn: number): string =>
    `${to_x - head * Math.cos(angle + turn)} ${to_y - head * Math.sin(angle + turn)}`;
  return `M${x} ${y}L${to_x} ${to_y}M${barb(0.55)}L${to_x} ${to_y}L${barb(-0.55)}`;
}

const inside = (value: number, margin: number, most: number): number =>
  Math.max(margin, Math.min(most - margin, value));
const permille = (share: number): number => Math.max(0, Math.min(1000, Math.round(share * 1000)));
