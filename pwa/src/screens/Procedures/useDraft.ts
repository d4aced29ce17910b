/** The procedure under way, read again whenever the editor opens. */
import { useEffect } from "preact/hooks";
import { type DraftInHand, draftInHand, draftOrShop, type InHand } from "../../actions/procedureDraft.ts";
import type { Draft } from "../../facts/procedureDraft.ts";

export type Hand = InHand &
  Omit<DraftInHand, "shown"> & {
    /** What the editor shows: the draft, else the shop's newest revision; null when there is neither. */
    readonly inHand: Draft | null;
  };

export function useDraft(id: string): Hand {
  const { shown, ...hand } = draftInHand(id);
  useEffect(() => {
    void hand.open();
  }, [id]);
  return { ...shown.value, ...hand, inHand: shown.value.isRead ? draftOrShop(id, shown.value.draft) : null };
}
