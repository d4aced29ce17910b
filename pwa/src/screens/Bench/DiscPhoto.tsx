/** A photo with the two discs. A press puts the chosen disc there, a finger on a disc moves it. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Disc } from "../../rules/colour.ts";
import { type DiscName, type Discs, discAt } from "../../rules/discs.ts";

type Props = {
  readonly picture: Blob;
  readonly width: number;
  readonly height: number;
  readonly discs: Discs;
  readonly chosen: DiscName;
  /** How much of the photo is shown: 1 all of it, 4 a quarter of its width; around `middle`. */
  readonly zoom: number;
  readonly middle: { readonly x_pm: number; readonly y_pm: number };
  readonly onChoose: (name: DiscName) => void;
  /** `settled` is false while a finger still moves it. */
  readonly onPlace: (name: DiscName, disc: Disc, settled: boolean) => void;
};

export const DISC_NAMES: Readonly<Record<DiscName, string>> = { indicator: "Indicator", reference: "White reference" };
const ORDER: readonly DiscName[] = ["reference", "indicator"];

export function DiscPhoto(props: Props) {
  const { width, height, discs, chosen, onChoose, onPlace } = props;
  const address = usePicture(props.picture);
  const svg = useRef<SVGSVGElement>(null);
  const held = useRef<{ readonly name: DiscName; readonly dx: number; readonly dy: number } | null>(null);
  const view = viewOf(props);
  const place = (event: MouseEvent): { readonly x: number; readonly y: number } => {
    const box = svg.current?.getBoundingClientRect();
    if (box === undefined || box.width === 0) return { x: 0, y: 0 };
    // The picture keeps its shape within the box, in the middle of it.
    const scale = Math.min(box.width / view.width, box.height / view.height);
    return {
      x: view.x + view.width / 2 + (event.clientX - box.x - box.width / 2) / scale,
      y: view.y + view.height / 2 + (event.clientY - box.y - box.height / 2) / scale,
    };
  };
  const grab = (name: DiscName, event: PointerEvent): void => {
    const at = place(event);
    const middle = middleOf(discs[name], props);
    held.current = { name, dx: middle.x - at.x, dy: middle.y - at.y };
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    onChoose(name);
  };
  const move = (event: PointerEvent, settled: boolean): void => {
    if (held.current === null) return;
    const { name, dx, dy } = held.current;
    const at = place(event);
    if (settled) held.current = null;
    onPlace(name, discAt(discs[name], { width, height }, at.x + dx, at.y + dy), settled);
  };
  const put = (event: MouseEvent): void => {
    const at = place(event);
    onPlace(chosen, discAt(discs[chosen], { width, height }, at.x, at.y), true);
  };
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the buttons beside the photo do the same from a keyboard
    <svg
      ref={svg}
      class="colour-photo"
      viewBox={`${view.x} ${view.y} ${view.width} ${view.height}`}
      role="img"
      aria-label="The photo with a disc on the indicator and one on the white reference"
      onClick={put}
    >
      {address !== null && <image href={address} width={width} height={height} />}
      {ORDER.map((name) => {
        const at = middleOf(discs[name], props);
        const radius = (discs[name].r_pm * Math.max(width, height)) / 1000;
        const ring = { cx: at.x, cy: at.y, r: radius };
        return (
          <g key={name}>
            <circle {...ring} class="colour-ring under" />
            <circle {...ring} class={`colour-ring over ${name}`} />
            <text
              class="colour-name"
              x={at.x}
              y={at.y - radius - view.width * 0.02}
              font-size={view.width * (name === chosen ? 0.05 : 0.038)}
            >
              {name === "indicator" ? "Indicator" : "White"}
            </text>
            {/* biome-ignore lint/a11y/noStaticElementInteractions: as above, the buttons do the same */}
            <circle
              class="colour-hold"
              data-disc={name}
              cx={at.x}
              cy={at.y}
              r={Math.max(radius, view.width * HOLD_SHARE)}
              onPointerDown={(event) => grab(name, event)}
              onPointerMove={(event) => move(event, false)}
              onPointerUp={(event) => move(event, true)}
              onPointerCancel={(event) => move(event, true)}
              // A drag ends with a press, which must not place the disc anew.
              onClick={(event) => event.stopPropagation()}
            />
          </g>
        );
      })}
    </svg>
  );
}

/** What a finger can hold: 0.08 of a photo 320 px wide is a circle of 51 px. */
const HOLD_SHARE = 0.08;

function viewOf({ width, height, zoom, middle }: Props) {
  const size = { width: width / zoom, height: height / zoom };
  const start = (pm: number, whole: number, part: number): number =>
    Math.min(whole - part, Math.max(0, (pm * whole) / 1000 - part / 2));
  return { x: start(middle.x_pm, width, size.width), y: start(middle.y_pm, height, size.height), ...size };
}

const middleOf = (disc: Disc, size: { readonly width: number; readonly height: number }) => ({
  x: (disc.x_pm * size.width) / 1000,
  y: (disc.y_pm * size.height) / 1000,
});

function usePicture(picture: Blob): string | null {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    const made = URL.createObjectURL(picture);
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [picture]);
  return address;
}
