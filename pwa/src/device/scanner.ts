/** Reading codes: the camera through a lazily loaded decoder from our own origin, and hand scanners that type. */
import { ok, type Result, refuse } from "../problem.ts";

export type Release = () => void;

const FORMATS = ["qr_code", "data_matrix", "code_128", "code_39", "ean_13"] as const;
/** A frame every so often: decoding takes 10 to 20 ms, and a phone must stay cool. */
const EVERY_MS = 120;

type Detector = { detect(source: ImageBitmapSource): Promise<readonly { readonly rawValue: string }[]> };
let detector: Promise<Detector> | null = null;

/** Show the camera in `video` and call `found` with each code read. `camera-missing` or `camera-refused` when it cannot be had. */
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
  detector ??= loadDetector();
  const reader = await detector;
  let on = true;
  const look = async (): Promise<void> => {
    if (!on) return;
    if (video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA) {
      const seen = await reader.detect(video).catch(() => []);
      if (on) for (const code of seen) found(code.rawValue);
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

async function loadDetector(): Promise<Detector> {
  const [{ BarcodeDetector, prepareZXingModule }, wasm] = await Promise.all([
    import("barcode-detector/ponyfill"),
    import("zxing-wasm/reader/zxing_reader.wasm?url"),
  ]);
  prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) => (path.endsWith(".wasm") ? wasm.default : prefix + path),
    },
    fireImmediately: true,
  });
  return new BarcodeDetector({ formats: [...FORMATS] });
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
