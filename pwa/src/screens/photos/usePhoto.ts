/** A photo for the screen; its memory is given back when the screen goes. Null until it is known where it comes from. */
import { useEffect, useState } from "preact/hooks";
import { photoSource, type Source } from "../../device/photo.ts";
import { reach } from "../../sync/status.ts";

type Shown = {
  /** Null while it is looked for. */
  readonly src: string | null;
  /** It is neither here nor to be had now. Tried again when the server is reached. */
  readonly isAway: boolean;
  readonly onAway: () => void;
};

export function usePhoto(hash: string, size: "full" | "thumb"): Shown {
  const [src, setSrc] = useState<string | null>(null);
  const [isAway, setAway] = useState(false);
  const reached = reach.value === "reached";
  useEffect(() => {
    let source: Source | null = null;
    let left = false;
    setAway(false);
    void photoSource(hash, size).then((found) => {
      if (left) return found.release();
      source = found;
      setSrc(found.url);
    });
    return () => {
      left = true;
      source?.release();
    };
  }, [hash, size, reached]);
  return { src, isAway, onAway: () => setAway(true) };
}
