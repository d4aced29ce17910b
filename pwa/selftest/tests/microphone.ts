/** Three seconds are recorded in this page, shown as a level, and played back. They never leave it. */
import { button, el } from "../page.ts";
import type { Room, Test } from "../results.ts";
import { barredLive, closeLive, openLive } from "./live.ts";
import { sound, soundMaker } from "./sound.ts";

const RECORD_S = 3;
/** A power of two, as the interface asks for; at 48 kHz a twelfth of a second (our choice). */
const BLOCK = 4096;

export const microphone: Test = {
  name: "microphone",
  title: "Microphone",
  say: `Press, and speak for ${RECORD_S} seconds towards the lower edge. It is played back, and stays on this device.`,
  barred: () => (soundMaker() === null ? "missing" : barredLive()),
  run: (room) => begin(room),
};

function begin(room: Room): void {
  room.offer(
    button("Record", "main", () => {
      const machine = sound();
      if (machine === null || typeof machine.createScriptProcessor !== "function") {
        room.bar("missing");
        return;
      }
      let left = false;
      room.leaving(() => {
        left = true;
      });
      room.offer();
      openLive(
        { audio: true },
        (stream) => {
          if (left) {
            closeLive(stream);
            return;
          }
          record(room, machine, stream);
        },
        (why) => {
          if (!left) room.bar(why);
        },
      );
    }),
  );
}

/** With the old interface, which all browsers have; the new one needs a second script. */
function record(room: Room, machine: AudioContext, stream: MediaStream): void {
  const level = el("div", "level");
  const filled = el("div", "");
  level.appendChild(filled);
  room.area.textContent = "";
  room.area.appendChild(level);
  room.say("Speak now.");
  const source = machine.createMediaStreamSource(stream);
  const blocks = machine.createScriptProcessor(BLOCK, 1, 1);
  const heard: Float32Array[] = [];
  const wanted = Math.ceil((RECORD_S * machine.sampleRate) / BLOCK);
  let peak = 0;
  const stop = (): void => {
    source.disconnect();
    blocks.disconnect();
    blocks.onaudioprocess = null;
    closeLive(stream);
  };
  room.leaving(stop);
  blocks.onaudioprocess = (event) => {
    const samples = new Float32Array(event.inputBuffer.getChannelData(0));
    heard.push(samples);
    let now = 0;
    for (let at = 0; at < samples.length; at += 1) now = Math.max(now, Math.abs(samples[at] ?? 0));
    peak = Math.max(peak, now);
    filled.style.width = `${Math.min(100, Math.round(100 * now))}%`;
    if (heard.length < wanted) return;
    stop();
    review(room, machine, heard, Math.min(100, Math.round(100 * peak)));
  };
  source.connect(blocks);
  // Some browsers only ask for blocks that go somewhere; nothing is written to them, so nothing is heard.
  blocks.connect(machine.destination);
}

function review(room: Room, machine: AudioContext, heard: Float32Array[], level_pct: number): void {
  room.say(level_pct === 0 ? "Nothing was heard." : `Loudest: ${level_pct} % of full. Is the voice clear?`);
  let playing: AudioBufferSourceNode | null = null;
  const stop = (): void => {
    if (playing !== null) playing.disconnect();
    playing = null;
  };
  room.leaving(stop);
  room.area.textContent = "";
  const row = el("div", "row");
  row.appendChild(
    button("Play back", "", () => {
      stop();
      playing = play(machine, heard);
    }),
  );
  row.appendChild(
    button("Record again", "", () => {
      stop();
      room.area.textContent = "";
      room.say(microphone.say);
      begin(room);
    }),
  );
  room.area.appendChild(row);
  room.ask("Clear", "Fails", (answer) => room.keep("microphone", { answer, level_pct }));
}

function play(machine: AudioContext, heard: Float32Array[]): AudioBufferSourceNode {
  const whole = machine.createBuffer(1, heard.length * BLOCK, machine.sampleRate);
  const samples = whole.getChannelData(0);
  for (let at = 0; at < heard.length; at += 1) samples.set(heard[at] as Float32Array, at * BLOCK);
  const source = machine.createBufferSource();
  source.buffer = whole;
  source.connect(machine.destination);
  source.start();
  return source;
}
