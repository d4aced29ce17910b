/** The procedure under way: kept on this station at every change, each change can be taken back. */
import { useEffect, useRef, useState } from "preact/hooks";
import { dropDraft, keepDraft, readDraft } from "../../actions/drafts.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { type Draft, draftName, revisions } from "../../views/procedureDraft.ts";

const MOST_UNDONE = 100;

export type DraftInHand = {
  /** Null while it is read, and when there is neither a draft nor such a procedure. */
  readonly draft: Draft | null;
  readonly isRead: boolean;
  /** Whether anything was changed since the revision it began from. */
  readonly isChanged: boolean;
  readonly change: (by: (procedure: Procedure) => Procedure) => void;
  readonly undo: (() => void) | null;
  /** Back to the shop's newest revision. */
  readonly drop: () => void;
};

export function useDraft(id: string): DraftInHand {
  const [draft, setDraft] = useState<Draft | null>(null);
  const [isRead, setRead] = useState(false);
  const [isChanged, setChanged] = useState(false);
  const now = useRef<Draft | null>(null);
  const before = useRef<readonly Draft[]>([]);
  const show = (next: Draft | null): void => {
    now.current = next;
    setDraft(next);
  };
  useEffect(() => {
    let left = false;
    void readDraft<Draft>(draftName(id)).then((held) => {
      if (left) return;
      show(held ?? fromShop(id));
      setChanged(held !== undefined);
      setRead(true);
    });
    return () => {
      left = true;
    };
  }, [id]);
  const keep = (next: Draft): void => {
    show(next);
    setChanged(true);
    void keepDraft(draftName(id), next);
  };
  return {
    draft,
    isRead,
    isChanged,
    change: (by) => {
      const held = now.current;
      if (held === null) return;
      before.current = [...before.current, held].slice(-MOST_UNDONE);
      keep({ ...held, procedure: by(held.procedure) });
    },
    undo:
      before.current.length === 0
        ? null
        : () => {
            const last = before.current[before.current.length - 1];
            before.current = before.current.slice(0, -1);
            if (last !== undefined) keep(last);
          },
    drop: () => {
      before.current = [];
      void dropDraft(draftName(id));
      show(fromShop(id));
      setChanged(false);
    },
  };
}

function fromShop(id: string): Draft | null {
  const [newest] = revisions(id);
  return newest === undefined ? null : { base: newest.rev, procedure: newest };
}
