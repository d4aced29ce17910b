/** Scanning: the camera through a lazily loaded reader, and hand scanners that type. */
import { ok, type Result, refuse } from "../problem.ts";
import { loadReader, type Reader } from "./reader.ts";

export type Release = () => void;

/** Time between two looks: a phone must stay cool. */
const EVERY_MS = 120;

let reader: Promise<Reader> | null = null;

/** Show the camera in `video` and call `found` with each code read. `camera-missing` or `camera-refused` when there is none to use. */
export async function startCamera(video: HTMLVideoElement, found: (text: string) => void): Promise<Result<Release>> {
  let stream: MediaStream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      video: { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } },
      audio: false,
    });
  } catch (error) {
    return refuse(
      error instanceof DOMException && error.name === "NotAllowedError" ? "camera-refused" : "camera-missing",
    );
  }
  video.srcObject = stream;
  await video.play().catch(() => undefined);
  reader ??= loadReader();
  const read = await reader;
  let on = true;
  const look = async (): Promise<void> => {
    if (!on) return;
    if (video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA) {
      const seen = await read(video, video.videoWidth, video.videoHeight).catch(() => []);
      if (on) for (const text of seen) found(text);
    }
    if (on) setTimeout(() => void look(), EVERY_MS);
  };
  void look();
  return ok(() => {
    on = false;
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  });
}

/** Longest pause between two keys of a hand scanner; people type slower. */
const KEY_GAP_MS = 45;
const SHORTEST = 6;

/** Hear a hand scanner that works as a keyboard: a quick run of keys ended by Enter, wherever the focus is. */
export function hearKeyScanner(found: (text: string) => void): Release {
  let keys = "";
  let last = 0;
  const listen = (event: KeyboardEvent): void => {
    const quick = event.timeStamp - last < KEY_GAP_MS;
    last = event.timeStamp;
    if (event.key === "Enter") {
      if (quick && keys.length >= SHORTEST) {
        event.preventDefault();
        event.stopPropagation();
        found(keys);
      }
      keys = "";
    } else if (event.key.length === 1) {
      keys = quick ? keys + event.key : event.key;
    }
  };
  addEventListener("keydown", listen, true);
  return () => removeEventListener("keydown", listen, true);
}
