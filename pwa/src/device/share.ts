/** Handing a text to other apps on the telephone. */

/** Offer a text to the telephone's own share sheet, else put it on the clipboard. False when neither was done. */
export async function shareOrCopy(text: string): Promise<boolean> {
  try {
    if (navigator.share !== undefined) await navigator.share({ text });
    else await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // The person closed the sheet, or the browser forbids both: nothing was sent.
    return false;
  }
}
