/** Actions whose events would be wrong twice. */

/**
 * An action that is pressed again for the same job, tray or box before it is done is the same press: it gets the same
 * answer. Until an entry is durable and folded, the state still allows what was just done.
 */
export function onePress<A extends readonly unknown[], T>(
  action: (...about: A) => Promise<T>,
): (...about: A) => Promise<T> {
  const running = new Map<unknown, Promise<T>>();
  return (...about) => {
    const held = running.get(about[0]);
    if (held !== undefined) return held;
    const run = action(...about).finally(() => running.delete(about[0]));
    running.set(about[0], run);
    return run;
  };
}
