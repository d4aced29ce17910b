/** Something read for a screen from what the station keeps. A reading that fails is told, so that no screen stays empty. */
import { useEffect, useState } from "preact/hooks";
import { type Problem, refuse } from "../problem.ts";

export type Loaded<T> = {
  /** Undefined until it is there. */
  readonly value: T | undefined;
  readonly problem: Problem | null;
};

const NOT_YET = { value: undefined, problem: null };

export function useLoaded<T>(read: () => Promise<T>, when: readonly unknown[]): Loaded<T> {
  const [loaded, setLoaded] = useState<Loaded<T>>(NOT_YET);
  useEffect(() => {
    let left = false;
    const take = (next: (before: Loaded<T>) => Loaded<T>): void => {
      if (!left) setLoaded(next);
    };
    read().then(
      (value) => take(() => ({ value, problem: null })),
      // What was read before stays in sight beside it.
      (error: unknown) => take(({ value }) => ({ value, problem: refuse("storage-closed", String(error)).problem })),
    );
    return () => {
      left = true;
    };
  }, [...when]);
  return loaded;
}
