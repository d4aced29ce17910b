/** What busy hands are offered on this station: keys, tray, true size, the printed map. */
import { calibration, isZoomed } from "../../actions/calibrate.ts";
import { type HandsFree, handsFree, setHandsFree } from "../../actions/hands.ts";
import { saveTrayMap } from "../../actions/trayMap.ts";
import type { Bench } from "../../facts/work.ts";
import { ok } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lookedBack, trayCamera } from "./handsFree.ts";

const ON_OFF = [
  { value: "on", name: "On" },
  { value: "off", name: "Off" },
] as const;

export function HandsMore({ bench }: { readonly bench: Bench }) {
  const { keys, tray } = handsFree.value;
  const { problem, run } = useAct();
  const set = (changed: Partial<HandsFree>) => run(async () => ok(await setHandsFree(changed)));
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
          onChoose={(value) => set({ keys: value === "on" })}
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
          onChoose={(value) => set({ tray: value === "on" })}
          across
        />
        {problem !== null && <Refusal problem={problem} />}
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
  const { problem, busy, run } = useAct();
  const ask = () => run(() => saveTrayMap(bench.procedure.id, bench.procedure.rev));
  return (
    <>
      <Button onPress={ask} disabled={busy}>
        {busy ? "The server draws it" : "Tray map to print"}
      </Button>
      {problem !== null && <Refusal problem={problem} />}
    </>
  );
}
