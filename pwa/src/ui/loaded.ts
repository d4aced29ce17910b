/** Something read from the station's store for a screen; undefined until it is there. */
import { useEffect, useState } from "preact/hooks";

export function useLoaded<T>(read: () => Promise<T>, when: readonly unknown[]): T | undefined {
  const [value, setValue] = useState<T | undefined>(undefined);
  useEffect(() => {
    let left = false;
    void read().then((v) => {
      if (!left) setValue(v);
    });
    return () => {
      left = true;
    };
  }, [...when]);
  return value;
}
