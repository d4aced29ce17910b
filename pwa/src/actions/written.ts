/** Text as a person pasted it, made fit for an event (F2.5): no control characters but tab and line feed, no half of a surrogate pair. */

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what F2.5 forbids
const FORBIDDEN = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/g;
const LONE = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** Trimmed; may be empty. */
export const written = (text: string): string =>
  text.replace(/\r\n?/g, "\n").replace(FORBIDDEN, " ").replace(LONE, "").trim();
