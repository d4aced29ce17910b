/** Signals that a time is up: vibration, three short tones, and the title of the page. Each is skipped where unavailable. */

const TONE_HZ = 880;
const NAME = "Traymark";
let sound: AudioContext | null = null;

/** Browsers allow sound only after a press: call this from a press. */
export function readySound(): void {
  sound ??= typeof AudioContext === "undefined" ? null : new AudioContext();
  void sound?.resume().catch(() => undefined);
}

export function ring(title: string): void {
  navigator.vibrate?.([300, 150, 300, 150, 300]);
  document.title = title;
  if (sound === null || sound.state !== "running") return;
  for (const [place, from] of [0, 0.35, 0.7].entries()) {
    const tone = sound.createOscillator();
    const volume = sound.createGain();
    tone.frequency.value = TONE_HZ * (place === 2 ? 1.25 : 1);
    volume.gain.value = 0.25;
    tone.connect(volume).connect(sound.destination);
    tone.start(sound.currentTime + from);
    tone.stop(sound.currentTime + from + 0.22);
  }
}

export function quiet(): void {
  navigator.vibrate?.(0);
  document.title = NAME;
}
