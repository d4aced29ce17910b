/** The camera for evidence photos: a live picture to aim with, one frame as a photo, and the lamp if the camera has one. */
import { ok, type Result, refuse } from "../problem.ts";
import { reencode } from "./encode.ts";

export type Lens = {
  /** Whether the lamp can be switched. */
  readonly hasLamp: boolean;
  /** What the camera sees now; null when there is no picture yet. */
  readonly shoot: () => Promise<Blob | null>;
  /** Whether the lamp did as asked. */
  readonly lamp: (on: boolean) => Promise<boolean>;
  readonly close: () => void;
};

/** Whether this browser lets a page use a camera at all: over plain http from another machine none does. */
export const canAim = (): boolean => navigator.mediaDevices?.getUserMedia !== undefined;

/** The photo is redrawn when it is kept (photo.ts); this is for before that, with hardly any loss. */
const QUALITY = 0.95;

/** Show the camera in `video`. `lens-missing` or `lens-refused` when there is none to use. */
export async function openLens(video: HTMLVideoElement): Promise<Result<Lens>> {
  let stream: MediaStream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      video: { facingMode: "environment", width: { ideal: 2048 }, height: { ideal: 1536 } },
      audio: false,
    });
  } catch (error) {
    return refuse(error instanceof DOMException && error.name === "NotAllowedError" ? "lens-refused" : "lens-missing");
  }
  video.srcObject = stream;
  await video.play().catch(() => undefined);
  const track = stream.getVideoTracks()[0];
  return ok({
    hasLamp: (track?.getCapabilities?.() as { readonly torch?: boolean } | undefined)?.torch === true,
    shoot: () => frameOf(video),
    lamp: async (on) => {
      try {
        await track?.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] });
        return true;
      } catch {
        return false;
      }
    },
    close: () => {
      for (const each of stream.getTracks()) each.stop();
      video.srcObject = null;
    },
  });
}

async function frameOf(video: HTMLVideoElement): Promise<Blob | null> {
  if (video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA || video.videoWidth === 0) return null;
  const frame = await createImageBitmap(video).catch(() => null);
  const made = frame === null ? null : await reencode(frame, Number.POSITIVE_INFINITY, QUALITY);
  frame?.close();
  return made === null ? null : new Blob([made.bytes], { type: "image/jpeg" });
}
