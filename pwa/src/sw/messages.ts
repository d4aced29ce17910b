/** The page's word to a waiting version: a person agreed. */
export const TAKE_OVER = "take-over";
