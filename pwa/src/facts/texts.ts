/** What people wrote freely (F7.9). */
import { docs } from "../current.ts";
import type { TextBody } from "../events/texts.ts";
import type { TextId } from "../fold/state.ts";

/** As shared/record.json has it on paper: that table is not for the first screen. */
const NO_TEXT = "(erased, or not here yet)";

/** A text to be read; a word for one that was erased or has not come. Null for none. */
export function said(id: TextId): string;
export function said(id: TextId | null): string | null;
export function said(id: TextId | null): string | null {
  return id === null ? null : (heldText(id) ?? NO_TEXT);
}

/** A text to be searched or written again, which no word may stand for. Null for one that is not here, and for none. */
export function heldText(id: TextId | null): string | null {
  const body = docs.value.get(id as unknown as string)?.body as TextBody | null | undefined;
  return body?.text ?? null;
}
