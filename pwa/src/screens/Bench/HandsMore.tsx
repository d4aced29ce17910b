/** What busy hands are offered on this station: keys, tray, true size, the printed map. */
import { useState } from "preact/hooks";
import { calibration, isZoomed } from "../../actions/calibrate.ts";
import { handsFree, setHandsFree } from "../../actions/hands.ts";
import { saveTrayMap } from "../../actions/trayMap.ts";
import type { Bench } from "../../facts/work.ts";
import type { Problem } from "../../problem.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lookedBack, trayCamera } from "./StepKeys.tsx";

const ON_OFF = [
  { value: "on", name: "On" },
  { value: "off", name: "Off" },
] as const;

export function HandsMore({ bench }: { readonly bench: Bench }) {
  const { keys, tray } = handsFree.value;
  return (
    <details class="bench-more">
      <summary>
        <Shape name="bench" size={24} />
        Hands busy
      </summary>
      <div class="stack">
        {bench.last !== null && (
          <Button
            onPress={() => {
              lookedBack.value = 1;
              scrollTo(0, 0);
            }}
          >
            Look back at: {bench.last.title}
          </Button>
        )}
        <TrayMap bench={bench} />
        <Choice
          label="Pedal or keys of this station"
          options={ON_OFF}
          value={keys ? "on" : "off"}
          onChoose={(value) => void setHandsFree({ keys: value === "on" })}
          across
        />
        <p class="soft small">
          Page Down, right arrow, Enter or space: the step is done. Page Up or left arrow: look back. Gates are always
          answered on the screen.
        </p>
        <Choice
          label="Scanning the tray says: done"
          options={ON_OFF}
          value={tray ? "on" : "off"}
          onChoose={(value) => void setHandsFree({ tray: value === "on" })}
          across
        />
        {tray && (
          <Button
            onPress={() => {
              trayCamera.value = !trayCamera.value;
              scrollTo(0, 0);
            }}
          >
            <Shape name="camera" />
            {trayCamera.value ? "Camera off" : "Let the camera watch for the tray"}
          </Button>
        )}
        <a class="button" href="#/calibrate">
          {calibration.value === null ? "Show screws at true size" : "Set true size again"}
        </a>
        {isZoomed() && (
          <p class="mark warn">
            <Shape name="warn" size={22} />
            The zoom is another than when true size was set.
          </p>
        )}
      </div>
    </details>
  );
}

function TrayMap({ bench }: { readonly bench: Bench }) {
  const [asking, setAsking] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const ask = async (): Promise<void> => {
    setAsking(true);
    const saved = await saveTrayMap(bench.procedure.id, bench.procedure.rev);
    setAsking(false);
    setProblem(saved.ok ? null : saved.problem);
  };
  return (
    <>
      <Button onPress={() => void ask()} disabled={asking}>
        {asking ? "The server draws it" : "Tray map to print"}
      </Button>
      {problem !== null && <Refusal problem={problem} />}
    </>
  );
}
