/** The drawing of a step: a view that it shares with others, and what it adds to it. */

import type { Place } from "../../facts/procedureDraft.ts";
import type { Drawing } from "../../rules/drawing.ts";
import type { Section, Written } from "../../rules/procedure.ts";
import { changeStep } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { Select } from "../../ui/fields.tsx";
import type { FormProps } from "./AboutForm.tsx";
import { Sketch } from "./Sketch.tsx";

type Props = FormProps & {
  readonly row: Written;
  readonly section: Section;
  readonly onGo: (place: Place) => void;
};

export function DrawingForm({ procedure, row, section, onChange, onGo }: Props) {
  const scenes = procedure.scenes ?? {};
  const { drawing } = row;
  const set = (next: Drawing | undefined): void => onChange((p) => changeStep(p, row.id, { drawing: next }));
  const scene = drawing === undefined ? undefined : scenes[drawing.scene];
  return (
    <section class="card" aria-label="Drawing">
      <h3>Drawing</h3>
      <Select
        label="Drawn upon"
        options={Object.entries(scenes).map(([value, { say }]) => ({ value, name: say }))}
        value={drawing?.scene ?? null}
        onChoose={(chosen) => set(chosen === null ? undefined : { scene: chosen, shapes: drawing?.shapes ?? [] })}
        none="No drawing"
      />
      {Object.keys(scenes).length === 0 && <p class="soft">Make a view first, at the end of the list of parts.</p>}
      {drawing !== undefined && scene !== undefined && (
        <>
          <Sketch
            procedure={procedure}
            width={scene.w}
            height={scene.h}
            below={scene.shapes}
            shapes={drawing.shapes}
            onChange={(shapes) => set({ ...drawing, shapes })}
            waysApart={section === "in"}
          />
          <Button onPress={() => onGo({ part: "scene", id: drawing.scene })} tone="plain">
            Change the view itself: {scene.say}
          </Button>
        </>
      )}
    </section>
  );
}
