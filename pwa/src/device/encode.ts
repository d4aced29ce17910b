/**
 * Redrawing a picture as a JPEG, in a worker where the browser can: on the page itself the browser encodes only when
 * idle, and on a busy station that was seen to take one to seven seconds.
 */
import { type Encoded, encoded, type Order } from "./encoding.ts";

export type { Encoded } from "./encoding.ts";

/** A browser short of memory may end a worker silently. A guess, far above what was seen. */
const WITHIN_MS = 20_000;

let worker: Worker | null | undefined;
let asked = 0;
const waiting = new Map<number, (made: Encoded | null) => void>();

/** The picture alone, its long side at most `most` pixels; null when the file is no picture. */
export async function reencode(picture: Blob | ImageBitmap, most: number, quality: number): Promise<Encoded | null> {
  if (worker === undefined) worker = startWorker();
  // A browser that cannot do it there may be able to here.
  return (await byWorker({ picture, most, quality })) ?? encoded({ picture, most, quality }, onPage);
}

function startWorker(): Worker | null {
  if (typeof OffscreenCanvas === "undefined" || typeof Worker === "undefined") return null;
  const started = new Worker(new URL("./encodeWorker.ts", import.meta.url), { type: "module" });
  started.onmessage = ({ data }: MessageEvent<{ readonly id: number; readonly made: Encoded | null }>) => {
    waiting.get(data.id)?.(data.made);
    waiting.delete(data.id);
  };
  started.onerror = () => giveUp(null);
  started.onmessageerror = () => giveUp(null);
  return started;
}

/** Whoever is waiting gets nothing from this worker; the next call tries none, or a new one. */
function giveUp(next: null | undefined): void {
  worker?.terminate();
  worker = next;
  for (const done of waiting.values()) done(null);
  waiting.clear();
}

function byWorker(order: Order): Promise<Encoded | null> {
  const by = worker;
  if (by === null || by === undefined) return Promise.resolve(null);
  asked += 1;
  const id = asked;
  return new Promise((done) => {
    const timer = setTimeout(() => giveUp(undefined), WITHIN_MS);
    waiting.set(id, (made) => {
      clearTimeout(timer);
      done(made);
    });
    by.postMessage({ id, order });
  });
}

function onPage(bitmap: ImageBitmap, width: number, height: number, quality: number): Promise<Blob | null> {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  canvas.getContext("2d")?.drawImage(bitmap, 0, 0, width, height);
  return new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
}
