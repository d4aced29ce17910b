/** Presses that reach the page. Most devices keep their keys from it, so a press that is not seen says nothing. */
import { button, el } from "../page.ts";
import type { Test } from "../results.ts";

const MOST = 99;
const NAMES: Record<string, "up" | "down"> = {
  AudioVolumeUp: "up",
  VolumeUp: "up",
  AudioVolumeDown: "down",
  VolumeDown: "down",
};

export const keys: Test = {
  name: "keys",
  title: "Buttons",
  say: "Press volume up and volume down. Then send the device to sleep with its power button, and wake it again. Many devices keep their buttons from a page: what it does not see is tested by hand.",
  barred: () => null,
  run: (room) => {
    const seen = { up: 0, down: 0, sleeps: 0 };
    const list = el("ul", "found");
    const lines = [el("li", ""), el("li", ""), el("li", "")];
    for (const line of lines) list.appendChild(line);
    room.area.appendChild(list);
    const draw = (): void => {
      const said = [`Volume up: ${seen.up}`, `Volume down: ${seen.down}`, `Slept and woke: ${seen.sleeps}`];
      lines.forEach((line, at) => {
        line.textContent = said[at] ?? "";
      });
    };
    const press = (event: KeyboardEvent): void => {
      const name = NAMES[event.key];
      if (name === undefined) return;
      event.preventDefault();
      seen[name] = Math.min(MOST, seen[name] + 1);
      draw();
    };
    let asleep = false;
    const sleep = (): void => {
      if (asleep && !document.hidden) seen.sleeps = Math.min(MOST, seen.sleeps + 1);
      asleep = document.hidden;
      draw();
    };
    document.addEventListener("keydown", press);
    document.addEventListener("visibilitychange", sleep);
    room.leaving(() => {
      document.removeEventListener("keydown", press);
      document.removeEventListener("visibilitychange", sleep);
    });
    draw();
    room.offer(
      button("Next", "main", () => {
        room.keep("keys", { volume_up: seen.up, volume_down: seen.down, sleeps: seen.sleeps });
      }),
    );
  },
};
