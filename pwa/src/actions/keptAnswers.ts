/** Answers of a half-filled screen, each change kept on this station. */
import { dropDraft, keepDraft, readDraft } from "./drafts.ts";

/** What changes: the fields, or from the answers as they are by then, whatever an older screen still shows. */
export type Change<T> = Partial<T> | ((now: T) => Partial<T>);

export type KeptAnswers<T> = {
  readonly now: () => T;
  readonly change: (change: Change<T>) => void;
  readonly drop: () => void;
  /** Nothing is shown any more. What is still on its way, such as a photo, is kept all the same. */
  readonly leave: () => void;
};

/** Answers as a draft of this id has them, else blank ones. `show` is told whenever they are others. */
export function keptAnswers<T extends object>(id: string, blank: T, show: (value: T) => void): KeptAnswers<T> {
  let value = blank;
  let early: Change<T>[] | null = [];
  let dropped = false;
  let left = false;
  const set = (next: T): void => {
    value = next;
    if (!left) show(next);
  };
  // What was changed before the draft is here is done once more upon it. Nothing is written before it was read.
  const reading = readDraft<T>(id)
    .catch(() => undefined)
    .then((held) => {
      const changes = early ?? [];
      early = null;
      if (held !== undefined && !dropped) set(changes.reduce<T>(changed, { ...blank, ...held }));
    });
  return {
    now: () => value,
    change: (change) => {
      early?.push(change);
      set(changed(value, change));
      void reading.then(() => (dropped ? undefined : keepDraft(id, value)));
    },
    drop: () => {
      dropped = true;
      void dropDraft(id);
    },
    leave: () => {
      left = true;
    },
  };
}

const changed = <T extends object>(now: T, change: Change<T>): T => ({
  ...now,
  ...(typeof change === "function" ? change(now) : change),
});
