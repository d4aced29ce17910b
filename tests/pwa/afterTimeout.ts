/**
 * A test that ran out of time cannot be stopped: it goes on writing into the stores and signals that all tests of its
 * file share. So none is run after it, and each says why.
 */
import { afterEach, beforeEach } from "vitest";

let late: string | null = null;

beforeEach(() => {
  if (late !== null) throw new Error(`not run: "${late}" ran out of time and may still write`);
});

afterEach(({ signal, task }) => {
  if (signal.aborted) late = task.name;
});
