/** Tilt and heading as the browser tells them. Where nothing is told, that says nothing of the sensor. */
import { button, el } from "../page.ts";
import { type Barred, isSecure, type Room, type Test } from "../results.ts";

/** A sensor speaks many times a second; one that is silent for so long is not offered to this page. */
const SILENT_MS = 4000;
const EIGHTHS = 8;
/** How far the bubble goes from the middle, in parts of the dish, at a right angle. */
const REACH = 40;

interface Reading extends Event {
  alpha: number | null;
  beta: number | null;
  gamma: number | null;
  absolute?: boolean;
  webkitCompassHeading?: number;
}

type Guarded = { requestPermission?: () => Promise<string> };

export const gyroscope: Test = {
  name: "gyroscope",
  title: "Motion sensor",
  say: "Tilt the device forward and back, left and right: the bubble follows.",
  barred: barredMotion,
  run: (room) => begin(room, tilt),
};

export const compass: Test = {
  name: "compass",
  title: "Compass",
  say: "Lay the device flat and turn it once around: north stays where it is.",
  barred: barredMotion,
  run: (room) => begin(room, turn),
};

function barredMotion(): Barred | null {
  return "DeviceOrientationEvent" in window ? null : isSecure() ? "missing" : "insecure";
}

/** Some browsers ask the person first, and only after a press. */
function begin(room: Room, run: (room: Room) => void): void {
  const guarded = window.DeviceOrientationEvent as unknown as Guarded;
  const ask = guarded.requestPermission;
  if (typeof ask !== "function") {
    run(room);
    return;
  }
  room.offer(
    button("Begin", "main", () => {
      ask.call(guarded).then(
        (said) => (said === "granted" ? run(room) : room.bar("refused")),
        () => room.bar("refused"),
      );
    }),
  );
}

function tilt(room: Room): void {
  const dish = el("div", "dish");
  const bubble = el("div", "");
  dish.appendChild(bubble);
  const count = el("p", "big");
  room.area.appendChild(dish);
  room.area.appendChild(count);
  const span = [360, -360, 360, -360] as [number, number, number, number];
  let tilt_deg = 0;
  listen(room, ["deviceorientation"], (event) => {
    const { beta, gamma } = event;
    if (beta === null || gamma === null) return false;
    span[0] = Math.min(span[0], beta);
    span[1] = Math.max(span[1], beta);
    span[2] = Math.min(span[2], gamma);
    span[3] = Math.max(span[3], gamma);
    tilt_deg = Math.min(360, Math.round(Math.max(span[1] - span[0], span[3] - span[2])));
    bubble.style.left = `${50 + REACH * Math.sin((gamma * Math.PI) / 180)}%`;
    bubble.style.top = `${50 + REACH * Math.sin((beta * Math.PI) / 180)}%`;
    count.textContent = `Tilted by ${tilt_deg} degrees`;
    return true;
  });
  room.ask("It follows", "Fails", (answer) => room.keep("gyroscope", { answer, tilt_deg }));
}

function turn(room: Room): void {
  const dish = el("div", "dish");
  const needle = el("div", "needle");
  dish.appendChild(needle);
  const count = el("p", "big");
  room.area.appendChild(dish);
  room.area.appendChild(count);
  const seen: boolean[] = [];
  listen(room, ["deviceorientationabsolute", "deviceorientation"], (event) => {
    const heading = headingOf(event);
    if (heading === null) return false;
    seen[Math.floor((heading * EIGHTHS) / 360) % EIGHTHS] = true;
    needle.style.transform = `rotate(${-heading}deg)`;
    count.textContent = `${seen.filter(Boolean).length} of ${EIGHTHS} directions`;
    return true;
  });
  room.ask("North stays", "Fails", (answer) => {
    room.keep("compass", { answer, eighths: seen.filter(Boolean).length });
  });
}

/** Degrees from north; null for a reading that only tells of turning and not of north. */
function headingOf(event: Reading): number | null {
  if (typeof event.webkitCompassHeading === "number") return (event.webkitCompassHeading + 360) % 360;
  const isAbsolute = event.absolute === true || event.type === "deviceorientationabsolute";
  return isAbsolute && event.alpha !== null ? (360 - event.alpha) % 360 : null;
}

function listen(room: Room, kinds: string[], take: (event: Reading) => boolean): void {
  let heard = false;
  const hear = (event: Event): void => {
    if (take(event as Reading)) heard = true;
  };
  for (const kind of kinds) window.addEventListener(kind, hear);
  const silence = window.setTimeout(() => {
    if (!heard) room.bar(isSecure() ? "missing" : "insecure");
  }, SILENT_MS);
  room.leaving(() => {
    clearTimeout(silence);
    for (const kind of kinds) window.removeEventListener(kind, hear);
  });
}
