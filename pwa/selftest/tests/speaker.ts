/** A tone on the left, one on the right, and one that rises; a person listens. */
import { button } from "../page.ts";
import type { Answer, Room, Test } from "../results.ts";
import { sound, soundMaker } from "./sound.ts";

const TONE_HZ = 440;
/** From the low end of what a telephone's speaker gives to what most people hear (our choice). */
const SWEEP_HZ: [number, number] = [200, 8000];
const TONE_S = 1.2;
const SWEEP_S = 3;
/** Short of full, so that the machine itself does not clip. */
const LOUD = 0.8;
const EDGE_S = 0.02;

type Part = "left" | "right" | "sweep";
const PARTS: Part[] = ["left", "right", "sweep"];
const SAY: Record<Part, string> = {
  left: "A tone on the left side. Full volume: clear, no rasp. With one speaker only, it comes from there.",
  right: "Now on the right side.",
  sweep: "Now a tone that rises: no rattle, no gap.",
};

export const speaker: Test = {
  name: "speaker",
  title: "Loudspeaker",
  say: SAY.left,
  barred: () => (soundMaker() === null ? "missing" : null),
  run: (room) => part(room, 0, {}),
};

function part(room: Room, at: number, answers: { left?: Answer; right?: Answer; sweep?: Answer }): void {
  const which = PARTS[at];
  if (which === undefined) {
    room.keep("speaker", answers);
    return;
  }
  let stop = (): void => undefined;
  room.leaving(() => stop());
  room.say(SAY[which]);
  room.area.textContent = "";
  room.area.appendChild(
    button("Play", "", () => {
      stop();
      stop = play(which);
    }),
  );
  room.ask("Clear", "Fails", (answer) => {
    stop();
    answers[which] = answer;
    part(room, at + 1, answers);
  });
}

function play(which: Part): () => void {
  const machine = sound();
  if (machine === null) return () => undefined;
  const [start, end] = [machine.currentTime, machine.currentTime + (which === "sweep" ? SWEEP_S : TONE_S)];
  const source = machine.createOscillator();
  const level = machine.createGain();
  source.frequency.setValueAtTime(which === "sweep" ? SWEEP_HZ[0] : TONE_HZ, start);
  if (which === "sweep") source.frequency.exponentialRampToValueAtTime(SWEEP_HZ[1], end);
  // Not at once to full and not at once to nothing: a jump clicks, and a click sounds like a fault.
  level.gain.setValueAtTime(0, start);
  level.gain.linearRampToValueAtTime(LOUD, start + EDGE_S);
  level.gain.setValueAtTime(LOUD, end - EDGE_S);
  level.gain.linearRampToValueAtTime(0, end);
  source.connect(level);
  if (which === "sweep") {
    level.connect(machine.destination);
  } else {
    const sides = machine.createChannelMerger(2);
    level.connect(sides, 0, which === "left" ? 0 : 1);
    sides.connect(machine.destination);
  }
  source.start(start);
  source.stop(end);
  return () => level.disconnect();
}
