/**
 * The glass as a grid. A cell counts only when a finger was reported inside it: nothing is filled in between two
 * reports, so that a dead stripe stays to be seen however fast the finger crossed it.
 */
import { button, cover, el, uncover } from "../page.ts";
import type { Results, Room, Test } from "../results.ts";

/** About the width of a finger tip in CSS pixels (our choice); the bounds are those of the form. */
const CELL_PX = 40;
const MOST_COLUMNS = 32;
const MOST_ROWS = 64;
/** A glass that says nothing for so long: the person may be done. */
const QUIET_MS = 2500;

type Found = NonNullable<Results["touch"]>;

export const touch: Test = {
  name: "touch",
  title: "Touch",
  say: "The whole glass becomes a grid. Wipe slowly over every cell, edges and corners too, and put down two fingers once. Lift the finger, and a button appears.",
  barred: () => ("ontouchstart" in window || navigator.maxTouchPoints > 0 ? null : "missing"),
  run: (room) => {
    room.offer(button("Begin", "main", () => grid(room)));
  },
};

function grid(room: Room): void {
  const glass = cover("glass");
  const canvas = document.createElement("canvas");
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", "Grid of the glass");
  glass.appendChild(canvas);
  const bar = el("div", "bar");
  const count = el("p", "");
  bar.appendChild(count);
  const ink = colours(glass);
  let columns = 0;
  let rows = 0;
  let reached: boolean[] = [];
  let left = 0;
  let fingers = 0;
  let quiet = 0;

  const lay = (): void => {
    columns = between(2, Math.round(glass.clientWidth / CELL_PX), MOST_COLUMNS);
    rows = between(2, Math.round(glass.clientHeight / CELL_PX), MOST_ROWS);
    left = columns * rows;
    reached = [];
    for (let cell = 0; cell < left; cell += 1) reached.push(false);
    canvas.width = glass.clientWidth;
    canvas.height = glass.clientHeight;
    for (let cell = 0; cell < reached.length; cell += 1) draw(cell);
  };
  const draw = (cell: number): void => {
    const pen = canvas.getContext("2d");
    if (pen === null) return;
    const [x, y] = [cell % columns, Math.floor(cell / columns)];
    const [x0, y0] = [Math.round((x * canvas.width) / columns), Math.round((y * canvas.height) / rows)];
    const [x1, y1] = [Math.round(((x + 1) * canvas.width) / columns), Math.round(((y + 1) * canvas.height) / rows)];
    pen.fillStyle = ink.line;
    pen.fillRect(x0, y0, x1 - x0, y1 - y0);
    pen.fillStyle = reached[cell] === true ? ink.reached : ink.open;
    pen.fillRect(x0, y0, x1 - x0 - 1, y1 - y0 - 1);
  };
  const feel = (event: TouchEvent): void => {
    const target = event.target as Node | null;
    if (target !== null && bar.contains(target)) return;
    event.preventDefault();
    fingers = Math.max(fingers, event.touches.length);
    for (let at = 0; at < event.touches.length; at += 1) {
      const one = event.touches[at] as Touch;
      const x = Math.floor((one.clientX * columns) / glass.clientWidth);
      const y = Math.floor((one.clientY * rows) / glass.clientHeight);
      const cell = y * columns + x;
      if (x < 0 || y < 0 || x >= columns || y >= rows || reached[cell] === true) continue;
      reached[cell] = true;
      left -= 1;
      draw(cell);
    }
    uncover(bar);
    wait(left === 0 && event.touches.length === 0 ? 0 : QUIET_MS);
  };
  /** The bar comes where more of the glass is known to answer, so that it can be pressed. */
  const ask = (): void => {
    const half = Math.floor(rows / 2) * columns;
    const upper = reached.slice(0, half).filter(Boolean).length;
    const lower = reached.slice(-half).filter(Boolean).length;
    bar.className = upper > lower ? "bar top" : "bar";
    count.textContent = `${percent(reached)} % answers, ${fingers === 1 ? "1 finger" : `${fingers} fingers`} at once`;
    glass.appendChild(bar);
  };
  const wait = (ms: number): void => {
    clearTimeout(quiet);
    quiet = window.setTimeout(ask, ms);
  };
  const end = (): void => {
    clearTimeout(quiet);
    window.removeEventListener("resize", lay);
    uncover(glass);
    small();
  };
  bar.appendChild(
    button("That is all", "main", () => {
      const bits = reached.map((yes) => (yes ? "1" : "0")).join("");
      const value: Found = { columns, rows, reached: bits, fingers: Math.min(fingers, 20), screen_pct: share(glass) };
      end();
      review(room, value);
    }),
  );
  bar.appendChild(
    button("Go on wiping", "", () => {
      uncover(bar);
      wait(3 * QUIET_MS);
    }),
  );
  room.leaving(end);
  for (const kind of ["touchstart", "touchmove", "touchend", "touchcancel"]) {
    // Browsers that take no object here read it as "true", which does no harm.
    glass.addEventListener(kind, feel as EventListener, { passive: false });
  }
  window.addEventListener("resize", lay);
  large(glass);
  lay();
  wait(3 * QUIET_MS);
}

function review(room: Room, value: Found): void {
  room.say(`${percent(value.reached.split("").map((bit) => bit === "1"))} % of the glass answers.`);
  const dead = value.reached.split("0").length - 1;
  room.area.appendChild(
    el("p", "big", dead === 0 ? "Every cell answered." : `${dead} of ${value.reached.length} cells did not answer.`),
  );
  if (value.fingers < 2) room.area.appendChild(el("p", "note", "Two fingers at once were not seen."));
  room.offer(
    button("Next", "main", () => room.keep("touch", value)),
    button("Again", "", () => {
      room.area.textContent = "";
      room.say(touch.say);
      grid(room);
    }),
  );
}

/** Never 100 while a cell is missing. */
const percent = (reached: boolean[]): number => Math.floor((100 * reached.filter(Boolean).length) / reached.length);

const between = (low: number, value: number, high: number): number => Math.max(low, Math.min(value, high));

/** How much of the screen the page has; the rest belongs to the browser and is not tested. */
function share(glass: HTMLElement): number {
  const all = screen.width * screen.height;
  return all > 0 ? between(0, Math.round((100 * glass.clientWidth * glass.clientHeight) / all), 100) : 0;
}

function colours(glass: HTMLElement): { open: string; line: string; reached: string } {
  const style = getComputedStyle(glass);
  return { open: style.backgroundColor, line: style.borderTopColor, reached: style.color };
}

type Full = { requestFullscreen?: () => unknown; webkitRequestFullscreen?: () => unknown };
type Leave = { exitFullscreen?: () => unknown; webkitExitFullscreen?: () => unknown; fullscreenElement?: unknown };

/** Without the browser's own bars where it can be had; where not, the share of the screen says so. */
function large(glass: HTMLElement): void {
  const full = glass as Full;
  quietly(() => (full.requestFullscreen ?? full.webkitRequestFullscreen)?.call(glass));
}

function small(): void {
  const full = document as Leave;
  quietly(() => (full.exitFullscreen ?? full.webkitExitFullscreen)?.call(document));
}

function quietly(act: () => unknown): void {
  try {
    const promise = act() as Promise<unknown> | undefined;
    if (promise !== undefined && typeof promise.then === "function") promise.then(undefined, () => undefined);
  } catch (_error) {
    // Full screen is a comfort.
  }
}
