/** The viewfinder, a field for typing, and a hand scanner heard everywhere. One reading is reported once until it changes. */
import { useEffect, useRef, useState } from "preact/hooks";
import { hearKeyScanner, type Release, startCamera } from "../device/scanner.ts";
import { useAct } from "./act.ts";
import { Button } from "./Dock.tsx";
import { TextField } from "./fields.tsx";
import { Refusal } from "./Notice.tsx";
import { Shape } from "./Shape.tsx";

type Props = {
  readonly onFound: (text: string) => void;
  /** What to hold before the camera, in a few words. */
  readonly say: string;
  /** Start the camera at once; else after a press. */
  readonly atOnce?: boolean;
  /** Above the field for typing. */
  readonly label?: string;
  /** On the button beside it: what is done with what was typed. */
  readonly enterWord?: string;
};

/** The same code again counts as a new scan after this long out of sight. */
const SAME_AGAIN_MS = 2_500;
/** A screen that opens so soon after a scan was opened by it: what still lies before the camera is no new scan there. */
const LED_HERE_MS = 3_000;
let last = { text: "", at: 0, reported: 0 };

export function Scanner({ onFound, say, atOnce, label = "Or type the code", enterWord = "Open" }: Props) {
  const video = useRef<HTMLVideoElement>(null);
  const report = useRef(onFound);
  report.current = onFound;
  const [on, setOn] = useState(atOnce === true);
  const [typed, setTyped] = useState("");
  const { problem, run } = useAct();

  useEffect(() => hearKeyScanner((text) => report.current(text)), []);
  useEffect(() => {
    if (!on || video.current === null) return;
    let stop: Release | null = null;
    let left = false;
    if (performance.now() - last.reported > LED_HERE_MS) last = { text: "", at: 0, reported: 0 };
    const found = (text: string): void => {
      const at = performance.now();
      const same = text === last.text && at - last.at < SAME_AGAIN_MS;
      last = { text, at, reported: same ? last.reported : at };
      if (!same) {
        navigator.vibrate?.(40);
        report.current(text);
      }
    };
    const at = video.current;
    void run(
      () => startCamera(at, found),
      (started) => {
        if (left) started();
        else stop = started;
      },
    ).then((isOn) => isOn || setOn(false));
    return () => {
      left = true;
      stop?.();
    };
  }, [on]);

  const enter = (): void => {
    if (typed.trim() === "") return;
    onFound(typed);
    setTyped("");
  };

  return (
    <div class="stack">
      {on ? (
        <div class="viewfinder">
          <video ref={video} playsInline muted aria-label="Camera" />
          <Brackets />
          <p class="over">{say}</p>
        </div>
      ) : (
        <Button onPress={() => setOn(true)} tone="main">
          <Shape name="scan" />
          Scan with the camera
        </Button>
      )}
      {problem !== null && <Refusal problem={problem} />}
      <form
        class="typed"
        onSubmit={(event) => {
          event.preventDefault();
          enter();
        }}
      >
        <TextField label={label} value={typed} onInput={setTyped} maxLength={200} />
        <button type="submit" class="button">
          {enterWord}
        </button>
      </form>
    </div>
  );
}

function Brackets() {
  return (
    <svg class="brackets" viewBox="0 0 100 75" fill="none" stroke="currentColor" stroke-width="1.4" aria-hidden="true">
      <path d="M2 18V2h16M82 2h16v16M98 57v16H82M18 73H2V57" />
    </svg>
  );
}
