/** The page's message to a waiting version: a person agreed. */
export const TAKE_OVER = "take-over";
