/** One sound machine for the whole page: browsers allow a few only, and start them after a press. */

type Maker = new () => AudioContext;

export function soundMaker(): Maker | null {
  const all = window as unknown as { AudioContext?: Maker; webkitAudioContext?: Maker };
  return all.AudioContext ?? all.webkitAudioContext ?? null;
}

let machine: AudioContext | null = null;

/** To be called from a press; null when this browser has none. */
export function sound(): AudioContext | null {
  const Machine = soundMaker();
  if (machine === null && Machine !== null) machine = new Machine();
  if (machine !== null && machine.state === "suspended") void machine.resume();
  return machine;
}
