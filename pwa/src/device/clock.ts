/** The station's clock. Display only; nothing is ordered by it. */
export const nowMs = (): number => Date.now();
