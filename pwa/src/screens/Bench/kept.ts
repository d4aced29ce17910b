/** Answers of a half-filled gate, kept on this station so that a call or a flat battery loses nothing. */
import { useEffect, useState } from "preact/hooks";
import { dropDraft, keepDraft, readDraft } from "../../actions/drafts.ts";

export type Kept<T> = { readonly value: T; readonly change: (part: Partial<T>) => void; readonly drop: () => void };

export function useKept<T extends object>(id: string, blank: T): Kept<T> {
  const [value, setValue] = useState<T>(blank);
  useEffect(() => {
    let left = false;
    void readDraft<T>(id).then((held) => {
      if (!left && held !== undefined) setValue({ ...blank, ...held });
    });
    return () => {
      left = true;
    };
  }, [id]);
  return {
    value,
    change: (part) =>
      setValue((before) => {
        const after = { ...before, ...part };
        void keepDraft(id, after);
        return after;
      }),
    drop: () => void dropDraft(id),
  };
}
