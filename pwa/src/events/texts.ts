/** Texts that people write freely: outside the log, named in events by their salted hash (F7.9). */
import { sha256 } from "./chain.ts";

/** What the card of a text holds: the code it is about, a salt, without which a short one could be guessed, and the text. */
export type TextBody = { readonly of: string; readonly salt: string; readonly text: string };

/** What events name a text by. */
export const textId = ({ of, salt, text }: TextBody): Promise<string> =>
  sha256(new TextEncoder().encode(["traymark.text.v1", of, salt, text].join("\n")));
