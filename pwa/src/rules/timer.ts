/** What is left of a step's waiting time, from when it was started: there is no countdown that a sleeping phone could stop. */

export type Timer = {
  readonly job: string;
  readonly step: string;
  readonly title: string;
  readonly started_at_ms: number;
  readonly wait_s: number;
  /** Whether the end was signalled already. */
  readonly told: boolean;
};

/** Whole seconds left, rounded up; 0 when it is over. */
export const leftS = (timer: Timer, nowMs: number): number =>
  Math.min(timer.wait_s, Math.max(0, Math.ceil(timer.wait_s - (nowMs - timer.started_at_ms) / 1000)));

export const isOver = (timer: Timer, nowMs: number): boolean => leftS(timer, nowMs) === 0;

/** 42 -> "0:42". */
export const clockText = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
