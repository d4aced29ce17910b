/** Waiting times of steps: kept on this station by when they were started, told when they are over, whatever is on the screen. */
import { signal } from "@preact/signals";
import { nowMs } from "../device/clock.ts";
import { quiet, readySound, ring } from "../device/ring.ts";
import { isOver, type Timer } from "../rules/timer.ts";
import { allDrafts, dropDraft, keepDraft } from "./drafts.ts";

const NAME = "timer:";
const idOf = (timer: Pick<Timer, "job" | "step">): string => `${NAME}${timer.job}:${timer.step}`;

/** What runs or is over on this station, in the order of starting. */
export const timers = signal<readonly Timer[]>([]);
let wake: ReturnType<typeof setTimeout> | undefined;

/** At start: take up what was running, also while the app was closed or the phone locked. */
export async function followTimers(): Promise<void> {
  const held = (await allDrafts()).filter((d) => d.id.startsWith(NAME)).map((d) => d.value as Timer);
  timers.value = held.sort((a, b) => a.started_at_ms - b.started_at_ms);
  document.addEventListener("visibilitychange", look);
  look();
}

/** Start, or start again. Called from a press, so that the end may be heard. */
export async function startTimer(job: string, step: string, title: string, wait_s: number): Promise<void> {
  readySound();
  const timer: Timer = { job, step, title, wait_s, started_at_ms: nowMs(), told: false };
  timers.value = [...timers.value.filter((t) => idOf(t) !== idOf(timer)), timer];
  look();
  await keepDraft(idOf(timer), timer);
}

/** Over and seen, or not needed any more. */
export async function dropTimer(job: string, step: string): Promise<void> {
  const gone = timers.value.find((t) => t.job === job && t.step === step);
  if (gone === undefined) return;
  timers.value = timers.value.filter((t) => t !== gone);
  if (!timers.value.some((t) => t.told)) quiet();
  look();
  await dropDraft(idOf(gone));
}

/** Tell of what is over, and wake for what is over next. */
function look(): void {
  const now = nowMs();
  for (const timer of timers.value) if (!timer.told && isOver(timer, now)) tell(timer);
  clearTimeout(wake);
  const next = Math.min(...timers.value.filter((t) => !t.told).map((t) => t.started_at_ms + t.wait_s * 1000));
  if (Number.isFinite(next)) wake = setTimeout(look, Math.max(50, next - now));
}

function tell(timer: Timer): void {
  const told = { ...timer, told: true };
  timers.value = timers.value.map((t) => (t === timer ? told : t));
  void keepDraft(idOf(told), told);
  ring(`Time is up: ${timer.title}`);
}
