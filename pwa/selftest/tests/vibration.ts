/** The motor, where the browser lets a page use it. */
import { button } from "../page.ts";
import type { Test } from "../results.ts";

const PATTERN_MS = [400, 200, 400];

export const vibration: Test = {
  name: "vibration",
  title: "Vibration",
  say: "Hold the device in the hand: firm, and no rattle.",
  barred: () => (typeof navigator.vibrate === "function" ? null : "missing"),
  run: (room) => {
    room.area.appendChild(button("Vibrate", "", () => navigator.vibrate(PATTERN_MS)));
    room.leaving(() => navigator.vibrate(0));
    room.ask("It does", "It fails", (answer) => room.keep("vibration", { answer }));
  },
};
