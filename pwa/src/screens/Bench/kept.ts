/** Answers of a half-filled gate, kept on this station so that a call or a flat battery loses nothing. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { type Change, keptAnswers } from "../../actions/keptAnswers.ts";

export type Kept<T> = { readonly value: T; readonly change: (change: Change<T>) => void; readonly drop: () => void };

export function useKept<T extends object>(id: string, blank: T): Kept<T> {
  const [value, setValue] = useState<T>(blank);
  const answers = useMemo(() => keptAnswers(id, blank, setValue), [id]);
  useEffect(() => {
    setValue(answers.now());
    return answers.leave;
  }, [answers]);
  return { value, change: answers.change, drop: answers.drop };
}
