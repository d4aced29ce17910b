/** Plain colours over the whole glass, then a scale of greys. Only a person can judge either. */
import { button, cover, el, uncover } from "../page.ts";
import type { Room, Test } from "../results.ts";

const COLOURS = ["white", "black", "red", "green", "blue", "grey"];
const MOST_SPOTS = 12;
const GREYS = 12;

export const picture: Test = {
  name: "picture",
  title: "Picture",
  say: "White, black, red, green, blue, grey: each fills the glass. Look for lines, spots and shadows. A tap brings the next.",
  barred: () => null,
  run: (room) => room.offer(button("Begin", "main", () => fields(room))),
};

export const light: Test = {
  name: "light",
  title: "Backlight",
  say: "Set the brightness from lowest to highest in the device's own settings. The light is even and does not flicker; each step below differs from the next.",
  barred: () => null,
  run: (room) => {
    const scale = el("div", "greys");
    scale.setAttribute("role", "img");
    scale.setAttribute("aria-label", `${GREYS} steps from black to white`);
    for (let step = 0; step < GREYS; step += 1) {
      const part = el("div", "");
      const value = Math.round((255 * step) / (GREYS - 1));
      part.style.backgroundColor = `rgb(${value},${value},${value})`;
      scale.appendChild(part);
    }
    room.area.appendChild(scale);
    room.ask("Even", "Fails", (answer) => room.keep("light", { answer }));
  },
};

function fields(room: Room): void {
  let at = 0;
  const field = cover("field white");
  room.leaving(() => uncover(field));
  // A press of a button is no tap on the field: it was over before the field came.
  field.addEventListener("click", () => {
    at += 1;
    const colour = COLOURS[at];
    if (colour !== undefined) {
      field.className = `cover field ${colour}`;
      return;
    }
    uncover(field);
    room.say("Was every colour whole: no line, no spot, no shadow?");
    room.ask("Whole", "Something is there", (answer) => {
      if (answer === "good") room.keep("picture", { answer, spots: [] });
      else where(room);
    });
  });
}

/** Where it was: the person points, and may also leave it out. */
function where(room: Room): void {
  const spots: [number, number][] = [];
  const field = cover("field white pointing");
  const bar = el("div", "bar");
  bar.appendChild(el("p", "", "Tap where it is."));
  bar.appendChild(button("That is all", "main", () => room.keep("picture", { answer: "bad", spots })));
  field.appendChild(bar);
  room.leaving(() => uncover(field));
  field.addEventListener("click", (event) => {
    if (bar.contains(event.target as Node) || spots.length >= MOST_SPOTS) return;
    const mark = el("div", "spot");
    mark.style.left = `${event.clientX}px`;
    mark.style.top = `${event.clientY}px`;
    field.appendChild(mark);
    spots.push([perMille(event.clientX, field.clientWidth), perMille(event.clientY, field.clientHeight)]);
  });
}

const perMille = (part: number, whole: number): number =>
  Math.max(0, Math.min(1000, Math.round((1000 * part) / Math.max(1, whole))));
