/** Purposes of old parts and boxes in words. */
import { upper } from "./format.ts";
import { valueWord } from "./values.ts";

export const purposeName = (purpose: string | null): string =>
  purpose === null ? "no purpose yet" : upper(valueWord("purpose", purpose));
