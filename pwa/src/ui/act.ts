/** Something pressed on a screen: whether it is still at work, and why it was not done. Nothing that fails stays unseen. */
import { useState } from "preact/hooks";
import { type Problem, type Result, refuse } from "../problem.ts";

export type Act = {
  /** Why what was last pressed was not done; the screen shows it as a <Refusal>. */
  readonly problem: Problem | null;
  /** Whether something that was pressed is still at work. */
  readonly busy: boolean;
  /**
   * Do it, hand what came of it to `then`, and tell whether it was done. Never rejects. Two presses are both heard:
   * what must not be written twice is the action's to know (`onePress`).
   */
  readonly run: <T>(action: () => Result<T> | Promise<Result<T>>, then?: (value: T) => unknown) => Promise<boolean>;
  /** For what is refused or taken back without an action. */
  readonly setProblem: (problem: Problem | null) => void;
};

export function useAct(): Act {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [running, setRunning] = useState(0);
  const run: Act["run"] = async (action, then) => {
    setRunning((count) => count + 1);
    const refused = await refusalOf(action, then);
    setRunning((count) => count - 1);
    setProblem(refused);
    return refused === null;
  };
  return { problem, busy: running > 0, run, setProblem };
}

/** Why an action was not done, or could not be; null when it was done. */
export async function refusalOf<T>(
  action: () => Result<T> | Promise<Result<T>>,
  then?: (value: T) => unknown,
): Promise<Problem | null> {
  try {
    const done = await action();
    if (!done.ok) return done.problem;
    await then?.(done.value);
    return null;
  } catch (error) {
    return refuse("app-failed", String(error)).problem;
  }
}
