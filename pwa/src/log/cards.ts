/** Cards (F7): personal data and texts, which a station gives up and forgets when they are erased. */
import type { TextBody } from "../events/texts.ts";
import type { Doc, Stores } from "./db.ts";

export const CARD_KINDS = ["contact", "device", "text"] as const;

export const isCard = ({ kind }: Doc): boolean => (CARD_KINDS as readonly string[]).includes(kind);

/** Every card that is kept here. */
export const allCards = async (db: Pick<Stores, "docs">): Promise<readonly Doc[]> =>
  (await Promise.all(CARD_KINDS.map((kind) => db.docs.where("kind", kind)))).flat();

/** An erased card in place of one that is held; of a text, what it was about stays, so that it can be given up with that. */
export const erased = (held: Doc, { rev }: Doc): Doc =>
  held.kind === "text" ? { ...held, rev, body: null, of: aboutOf(held) } : { ...held, rev, body: null };

/** What a text is about; null for another card. */
export const aboutOf = ({ kind, body, of = null }: Doc): string | null =>
  kind === "text" ? ((body as TextBody | null)?.of ?? of) : null;
