/** The draft of a procedure in hand: kept on this station at every change, each change can be taken back (F7.4). */
import { type ReadonlySignal, signal } from "@preact/signals";
import { nowMs } from "../device/clock.ts";
import { type Draft, draftName, revisions } from "../facts/procedureDraft.ts";
import type { Problem } from "../problem.ts";
import type { Procedure } from "../rules/procedure.ts";
import { heldDraft, replaceDraft } from "./drafts.ts";

const MOST_UNDONE = 100;

export type InHand = {
  /** Null where nothing was changed yet: the shop's newest revision is looked at. */
  readonly draft: Draft | null;
  readonly isRead: boolean;
  readonly canUndo: boolean;
  /** `storage-failed`: not kept, tried again at the next change. `draft-elsewhere`: another tab has changed it since. */
  readonly problem: Problem | null;
};

export type DraftInHand = {
  readonly shown: ReadonlySignal<InHand>;
  /** Read what is kept, unless something is on its way there. Called whenever the editor opens. */
  readonly open: () => Promise<void>;
  readonly change: (by: (procedure: Procedure) => Procedure) => void;
  readonly undo: () => void;
  /** Back to the shop's newest revision. */
  readonly drop: () => void;
  /** This was published as that revision; what was changed since stays a draft, of the next one. */
  readonly published: (sent: Draft, rev: number) => void;
  /** Of two tabs: go on with what the other has kept, or keep this one over it. */
  readonly takeOther: () => Promise<void>;
  readonly keepThis: () => Promise<void>;
};

/** What this tab last saw of the store. */
type Kept = { readonly draft: Draft | null; readonly at: number | null };

/** One for each procedure, whoever shows it: a photo that comes late meets the draft as it is by then. */
const hands = new Map<string, DraftInHand>();
export function draftInHand(id: string): DraftInHand {
  const held = hands.get(id) ?? newHand(id);
  hands.set(id, held);
  return held;
}

/** What is edited: the draft, else the shop's newest revision; null when there is neither. */
export function draftOrShop(id: string, draft: Draft | null): Draft | null {
  const [newest] = revisions(id);
  return draft ?? (newest === undefined ? null : { base: newest.rev, procedure: newest });
}

function newHand(id: string): DraftInHand {
  const name = draftName(id);
  const shown = signal<InHand>({ draft: null, isRead: false, canUndo: false, problem: null });
  let before: readonly (Draft | null)[] = [];
  let kept: Kept = { draft: null, at: null };
  let writing: Promise<void> = Promise.resolve();

  const show = (changes: Partial<InHand>): void => {
    shown.value = { ...shown.value, ...changes, canUndo: before.length > 0 };
  };
  const write = async (): Promise<void> => {
    while (shown.value.draft !== kept.draft) {
      const { draft } = shown.value;
      const at = draft === null ? null : Math.max(nowMs(), (kept.at ?? 0) + 1);
      const next = at === null ? null : { id: name, at_ms: at, value: draft };
      if (!(await replaceDraft(name, kept.at, next))) return show({ problem: { slug: "draft-elsewhere" } });
      kept = { draft, at };
      show({ problem: null });
    }
  };
  const failed = (error: unknown): void => show({ problem: { slug: "storage-failed", detail: String(error) } });
  const set = (draft: Draft | null): void => {
    show({ draft });
    writing = writing.then(write).catch(failed);
  };
  const stored = async (): Promise<Kept> => {
    const held = await heldDraft(name);
    return { draft: (held?.value as Draft | undefined) ?? null, at: held?.at_ms ?? null };
  };
  const take = (held: Kept): void => {
    before = [];
    kept = held;
    show({ draft: held.draft, isRead: true, problem: null });
  };
  return {
    shown,
    open: async () => {
      await writing;
      const isKept = (): boolean => shown.value.draft === kept.draft;
      if (!isKept()) return;
      try {
        const held = await stored();
        if (isKept() && (held.at !== kept.at || !shown.value.isRead)) take(held);
      } catch (error) {
        failed(error);
        show({ isRead: true });
      }
    },
    change: (by) => {
      const held = draftOrShop(id, shown.value.draft);
      if (held === null) return;
      const procedure = by(held.procedure);
      if (procedure === held.procedure) return;
      before = [...before, shown.value.draft].slice(-MOST_UNDONE);
      set({ ...held, procedure });
    },
    undo: () => {
      const last = before[before.length - 1];
      before = before.slice(0, -1);
      if (last !== undefined) set(last);
    },
    drop: () => {
      before = [];
      set(null);
    },
    published: (sent, rev) => {
      const { draft } = shown.value;
      before = [];
      set(draft === null || draft.procedure === sent.procedure ? null : { ...draft, base: rev });
    },
    takeOther: () => stored().then(take).catch(failed),
    keepThis: () =>
      stored()
        .then((held) => {
          kept = held;
          set(shown.value.draft);
        })
        .catch(failed),
  };
}
