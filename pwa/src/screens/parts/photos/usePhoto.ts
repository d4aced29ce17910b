/** A photo for the screen; its memory is given back when the screen goes. */
import { useEffect, useState } from "preact/hooks";
import { photoSource, type Source } from "../../../device/photo.ts";
import { lastReachedMs } from "../../../sync/status.ts";

type Shown = {
  /** Null while it is looked for. */
  readonly src: string | null;
  /** It is neither here nor to be had now. Tried again each time the server was reached. */
  readonly isAway: boolean;
  readonly onAway: () => void;
};

export function usePhoto(hash: string, size: "full" | "thumb"): Shown {
  const [src, setSrc] = useState<string | null>(null);
  /** When the server had last been reached as it was not to be had. */
  const [awaySince, setAwaySince] = useState<number | null>(null);
  const reachedMs = lastReachedMs.value ?? 0;
  useEffect(() => {
    let source: Source | null = null;
    let left = false;
    void photoSource(hash, size).then((found) => {
      if (left) return found.release();
      source = found;
      setSrc(found.url);
    });
    return () => {
      left = true;
      source?.release();
    };
  }, [hash, size]);
  return { src, isAway: awaySince === reachedMs, onAway: () => setAwaySince(reachedMs) };
}
