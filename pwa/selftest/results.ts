/** What this device found, in the form of server/traymark/selftest/results.py; a test that was skipped is absent. */

export type Answer = "good" | "bad";
/** Why a test cannot run here: no HTTPS, no such thing in this browser, or the person said no. */
export type Barred = "insecure" | "missing" | "refused";

export interface Results {
  touch?: { columns: number; rows: number; reached: string; fingers: number; screen_pct: number };
  picture?: { answer: Answer; spots: [number, number][] };
  light?: { answer: Answer };
  speaker?: { left?: Answer; right?: Answer; sweep?: Answer };
  microphone?: { answer: Answer; level_pct: number };
  front_camera?: { answer: Answer; width: number; height: number };
  rear_camera?: { answer: Answer; width: number; height: number };
  vibration?: { answer: Answer };
  gyroscope?: { answer: Answer; tilt_deg: number };
  compass?: { answer: Answer; eighths: number };
  keys?: { volume_up: number; volume_down: number; sleeps: number };
  network?: { sent: number; answered: number; median_ms: number; over: "wifi" | "cellular" | "other" | "unknown" };
}

export type TestName = keyof Results;

/** One test of the walk. */
export interface Test {
  name: TestName;
  title: string;
  say: string;
  /** Why it cannot run in this browser; null when it can. Asked before it is shown. */
  barred: () => Barred | null;
  /** Draw into the room, and keep a result or bar the test in the end. */
  run: (room: Room) => void;
}

/** The place a test is given on the page. */
export interface Room {
  /** Between the text and the buttons. */
  area: HTMLElement;
  /** Change what stands under the heading. */
  say: (text: string) => void;
  /** Buttons at the lower edge, the main one first; "Skip" is always below. */
  offer: (...buttons: HTMLElement[]) => void;
  /** Two buttons: it works, it fails. */
  ask: (good: string, bad: string, answered: (answer: Answer) => void) => void;
  /** Keep what was found and go on. */
  keep: <N extends TestName>(name: N, found: NonNullable<Results[N]>) => void;
  /** It turned out that it cannot run: say why, then go on. */
  bar: (why: Barred) => void;
  /** Called once when the test is left, however that happens. */
  leaving: (tidy: () => void) => void;
}

/** Browsers older than the word count as secure when the address is. */
export const isSecure = (): boolean =>
  (window as { isSecureContext?: boolean }).isSecureContext ?? location.protocol === "https:";
