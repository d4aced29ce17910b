/** Live streams of camera and microphone, which browsers give to secured pages only. */
import { type Barred, isSecure } from "../results.ts";

type Asks = { getUserMedia?: (what: MediaStreamConstraints) => Promise<MediaStream> };

const devices = (): Asks | undefined => (navigator as { mediaDevices?: Asks }).mediaDevices;

export function barredLive(): Barred | null {
  if (!isSecure()) return "insecure";
  return typeof devices()?.getUserMedia === "function" ? null : "missing";
}

export function openLive(
  what: MediaStreamConstraints,
  opened: (stream: MediaStream) => void,
  failed: (why: Barred) => void,
): void {
  const asks = devices();
  if (asks?.getUserMedia === undefined) {
    failed("missing");
    return;
  }
  asks.getUserMedia(what).then(opened, (error: { name?: string }) => {
    // Both names were in use for "the person said no".
    failed(error.name === "NotAllowedError" || error.name === "PermissionDeniedError" ? "refused" : "missing");
  });
}

export function closeLive(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
