/** Foot pedals, presenters and keyboards: they all send keys. Two meanings only: on, and look back. */
import type { Release } from "./scanner.ts";

export type Press = "on" | "back";
export type Focus = "nothing" | "control" | "field";
export type Key = Pick<KeyboardEvent, "key" | "repeat" | "altKey" | "ctrlKey" | "metaKey" | "shiftKey">;

/** A foot may tread twice, and a switch bounces: a press this soon after another is the same one. A guess. */
const REST_MS = 600;
/** An Enter this soon after a letter ends something typed or scanned. A guess; hand scanners are far quicker. */
const TYPED_MS = 500;

/** What a key means here; null when it means nothing. A field that has the focus keeps all its keys. */
export function keyMeaning(key: Key, focus: Focus): Press | null {
  if (key.repeat || key.altKey || key.ctrlKey || key.metaKey || key.shiftKey || focus === "field") return null;
  if (key.key === "PageDown" || key.key === "ArrowRight") return "on";
  if (key.key === "PageUp" || key.key === "ArrowLeft") return "back";
  return (key.key === "Enter" || key.key === " ") && focus === "nothing" ? "on" : null;
}

/** When the last press and the last letter were. Kept for the foot, not for a screen, since a press changes the screen. */
let last = Number.NEGATIVE_INFINITY;
let typed = Number.NEGATIVE_INFINITY;

/** Hear presses until released. Keys that mean something here do nothing else. */
export function hearPedal(pressed: (press: Press) => void): Release {
  const listen = (event: KeyboardEvent): void => {
    const press = event.defaultPrevented ? null : keyMeaning(event, focusNow());
    if (event.key.length === 1 && event.key !== " ") typed = event.timeStamp;
    if (press === null || (event.key === "Enter" && event.timeStamp - typed < TYPED_MS)) return;
    event.preventDefault();
    if (event.timeStamp - last < REST_MS) return;
    last = event.timeStamp;
    pressed(press);
  };
  addEventListener("keydown", listen);
  return () => removeEventListener("keydown", listen);
}

function focusNow(): Focus {
  const at = document.activeElement;
  if (at?.matches("input, textarea, select, [contenteditable]") === true) return "field";
  return at?.matches("button, a, summary, [role=button]") === true ? "control" : "nothing";
}
