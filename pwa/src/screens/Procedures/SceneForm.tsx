/** A view that several steps are drawn upon. */

import { ABOUT, type Place } from "../../facts/procedureDraft.ts";
import type { Scene } from "../../rules/drawing.ts";
import { changeScene, drawnUpon, dropScene } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { NumberField } from "../../ui/typedFields.tsx";
import type { FormProps } from "./AboutForm.tsx";
import { Sketch } from "./Sketch.tsx";

type Props = FormProps & { readonly id: string; readonly onGo: (place: Place) => void };

/** Drawn with these until a number is typed that does. */
const SIDE = 240;

export function SceneForm({ procedure, onChange, id, onGo }: Props) {
  const scene = procedure.scenes?.[id];
  if (scene === undefined) return null;
  const set = (changes: Partial<Scene>): void => onChange((p) => changeScene(p, id, { ...scene, ...changes }));
  const users = drawnUpon(procedure, id);
  return (
    <>
      <div class="row apart">
        <h2>View: {scene.say}</h2>
        <Button
          onPress={() => {
            onChange((p) => dropScene(p, id));
            onGo(ABOUT);
          }}
          tone="plain"
        >
          {users.length === 0 ? "Take this view away" : `Take this view away, and ${users.length} drawings with it`}
        </Button>
      </div>
      <section class="card" aria-label="The view">
        <TextField label="What it shows" value={scene.say} onInput={(say) => set({ say })} maxLength={80} />
        <div class="proc-two">
          <NumberField
            label="Width in units"
            value={scene.w}
            onChange={(w) => set({ w: w as number })}
            hint="40 to 600"
          />
          <NumberField
            label="Height in units"
            value={scene.h}
            onChange={(h) => set({ h: h as number })}
            hint="40 to 600"
          />
        </div>
        <Sketch
          procedure={procedure}
          width={scene.w ?? SIDE}
          height={scene.h ?? SIDE}
          below={[]}
          shapes={scene.shapes}
          onChange={(shapes) => set({ shapes })}
          waysApart={false}
        />
      </section>
      <p class="soft">
        {users.length === 0
          ? "No step is drawn upon it yet."
          : `Drawn upon it: ${users.map((row) => row.title).join(", ")}.`}
      </p>
    </>
  );
}
