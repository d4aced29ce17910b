/** What the answer of a step does: its action, then what comes next from its top. */
import type { Result } from "../../problem.ts";
import { type Act, useAct } from "../../ui/act.ts";

type Answering = Act & {
  readonly answer: (action: () => Result<unknown> | Promise<Result<unknown>>) => Promise<boolean>;
};

export function useAnswer(): Answering {
  const act = useAct();
  return { ...act, answer: (action) => act.run(action, () => scrollTo(0, 0)) };
}
