/** Random names; the only place that asks the browser for randomness. */

const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LOWER = "abcdefghijklmnopqrstuvwxyz012345";

/** A ref for a card (F1.7): 100 random bits. */
export const newRef = (): string => letters(LOWER, 20);
/** A ticket token (F1.6): 130 random bits. */
export const newToken = (): string => letters(LETTERS, 26);
/** A slug for a mark on a photo: 35 random bits among the few marks of one photo. */
export const newMarkName = (): string => `m${letters(LOWER, 7)}`;
/** A fraction from 0 to 1, for jitter only. */
export const dice = (): number => Math.random();

/** Both alphabets have 32 letters, so five bits of a byte choose without favour. */
function letters(alphabet: string, count: number): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(count)), (b) => alphabet.charAt(b & 31)).join("");
}
