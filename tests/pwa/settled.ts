/** Waiting for what was begun and is awaited by nobody, without waiting for time. */
import { vi } from "vitest";

type Begins = (...given: never[]) => Promise<unknown>;

/** Every call of these mocks has ended, and every call that one of them led to. */
export async function settled(...mocks: readonly Begins[]): Promise<void> {
  const begun = (): readonly unknown[] => mocks.flatMap((mock) => vi.mocked(mock).mock.results.map((r) => r.value));
  for (let ended = -1; ended < begun().length; ) {
    ended = begun().length;
    await Promise.allSettled(begun());
    // One turn of the loop, in which what waited for them goes on.
    await new Promise((done) => setTimeout(done));
  }
}
