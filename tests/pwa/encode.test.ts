/** A photo is drawn anew whatever becomes of the worker: it is on the page when the worker does not answer. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";

const onPage = vi.hoisted(() => vi.fn());
vi.mock("@pwa/device/encoding.ts", () => ({ encoded: onPage }));

const PICTURE = new Blob(["picture"]);
const HERE = { bytes: new ArrayBuffer(1), width: 1, height: 1 };
const THERE = { bytes: new ArrayBuffer(2), width: 2, height: 2 };

class FakeWorker {
  static started: FakeWorker[] = [];
  static answers: (worker: FakeWorker, id: number) => void = () => undefined;
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onerror: (() => void) | null = null;
  onmessageerror: (() => void) | null = null;
  ended = false;
  constructor() {
    FakeWorker.started.push(this);
  }
  postMessage({ id }: { id: number }): void {
    FakeWorker.answers(this, id);
  }
  terminate(): void {
    this.ended = true;
  }
}

const drawn = async (): Promise<unknown> => {
  const { reencode } = await import("@pwa/device/encode.ts");
  return reencode(PICTURE, 100, 0.9);
};

beforeEach(() => {
  vi.resetModules();
  vi.useFakeTimers();
  vi.stubGlobal("Worker", FakeWorker);
  vi.stubGlobal("OffscreenCanvas", class {});
  FakeWorker.started = [];
  onPage.mockReset().mockResolvedValue(HERE);
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test("by the worker, one for all photos", async () => {
  FakeWorker.answers = (worker, id) => worker.onmessage?.({ data: { id, made: THERE } });
  expect([await drawn(), await drawn()]).toEqual([THERE, THERE]);
  expect(FakeWorker.started).toHaveLength(1);
  expect(onPage).not.toHaveBeenCalled();
});

test("on the page when the worker is silent, and by a new worker the next time", async () => {
  FakeWorker.answers = () => undefined;
  const both = Promise.all([drawn(), drawn()]);
  await vi.advanceTimersByTimeAsync(20_000);
  expect(await both).toEqual([HERE, HERE]);
  expect(FakeWorker.started.map((w) => w.ended)).toEqual([true]);
  FakeWorker.answers = (worker, id) => worker.onmessage?.({ data: { id, made: THERE } });
  expect(await drawn()).toEqual(THERE);
});

test.each(["onerror", "onmessageerror"] as const)("on the page from then on when the worker fails: %s", async (how) => {
  FakeWorker.answers = (worker) => worker[how]?.();
  expect([await drawn(), await drawn()]).toEqual([HERE, HERE]);
  expect(FakeWorker.started).toHaveLength(1);
});
