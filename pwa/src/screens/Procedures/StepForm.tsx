/** One step: what it says, what it warns of, what it does, what it decides, and what it shows. */
import cautionsTable from "@shared/cautions.json";
import { ABOUT, type Place, placeName, sectionOf } from "../../facts/procedureDraft.ts";
import type { Gate, Written } from "../../rules/procedure.ts";
import { addPhoto, type Changes, changeStep, dropStep, heated, moveStep } from "../../rules/procedureEdit.ts";
import { testPoints } from "../../tables/testPoints.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choices, Select, TextField } from "../../ui/fields.tsx";
import { LinesField, NumberField } from "../../ui/typedFields.tsx";
import type { FormProps } from "./AboutForm.tsx";
import { DrawingForm } from "./DrawingForm.tsx";
import { HeatForm } from "./HeatForm.tsx";
import { OpsForm } from "./OpsForm.tsx";
import { PhotosForm } from "./PhotosForm.tsx";

type Props = FormProps & { readonly id: string; readonly onGo: (place: Place) => void };

const CAUTIONS = Object.entries(cautionsTable.cautions).map(([value, { name }]) => ({ value, name }));
const GATES: Readonly<Record<"in" | "turn", readonly { readonly value: Gate; readonly name: string }[]>> = {
  in: [
    { value: "liquid", name: "Liquid: any sign stops the job" },
    { value: "power", name: "Power: is the battery safe, and is it isolated?" },
  ],
  turn: [
    { value: "power", name: "Power: is the battery safe, and is it isolated?" },
    { value: "prefit", name: "Pre-fit: is the new part proven?" },
    { value: "pair", name: "Pair: has the paired part moved over?" },
  ],
};
const WHOLE_TEST: readonly { readonly value: Gate; readonly name: string }[] = [
  { value: "final", name: "Whole test: the device is tested here, before the glue" },
];
const POINTS = Object.entries(testPoints).map(([value, { name, serves }]) => ({ value, name, serves }));

export function StepForm({ procedure, onChange, id, onGo }: Props) {
  const found = sectionOf(procedure, id);
  const row = found === null ? undefined : procedure[found.section][found.at];
  if (found === null || row === undefined) return null;
  const { section, at } = found;
  const set = (changes: Changes<Written>): void => onChange((p) => changeStep(p, id, changes));
  const remove = (): void => {
    onChange((p) => dropStep(p, id));
    const next = procedure[section][at + 1] ?? procedure[section][at - 1];
    onGo(next === undefined ? ABOUT : { part: "step", id: next.id });
  };
  return (
    <>
      <div class="row apart">
        <h2>{placeName({ part: "step", id }, procedure)}</h2>
        <div class="row">
          <Button onPress={() => onChange((p) => moveStep(p, section, at, -1))} disabled={at === 0}>
            Step earlier
          </Button>
          <Button
            onPress={() => onChange((p) => moveStep(p, section, at, 1))}
            disabled={at === procedure[section].length - 1}
          >
            Step later
          </Button>
          <Button onPress={remove} tone="plain">
            Take this step away
          </Button>
        </div>
      </div>
      <section class="card" aria-label="What it says">
        <TextField label="Title" value={row.title} onInput={(title) => set({ title })} maxLength={80} />
        <LinesField label="Sentences, one a line" values={row.say} onChange={(say) => set({ say })} />
        <LinesField label="Tools, one a line" values={row.tools} onChange={(tools) => set({ tools })} />
        <Choices
          label="Cautions"
          options={CAUTIONS}
          values={row.cautions}
          onChange={(cautions) => set({ cautions })}
          across
        />
        <NumberField
          label="Wait in seconds"
          value={row.wait_s}
          onChange={(wait_s) => set({ wait_s })}
          hint="Where the step works by itself, such as warming. Empty: no timer."
        />
      </section>
      <HeatForm row={row} onSet={set} onHeat={(heat) => onChange((p) => heated(p, id, heat))} />
      {section === "closing" ? (
        <section class="card" aria-label="When it comes">
          <Select
            label="It comes on the way out, before the return of"
            options={procedure.in.map((step) => ({ value: step.id, name: step.title }))}
            value={row.before ?? null}
            onChoose={(before) => set({ before: before ?? "" })}
          />
          <Select
            label="Gate"
            options={WHOLE_TEST}
            value={row.gate ?? null}
            onChoose={(gate) => set({ gate: gate ?? undefined })}
            none="No gate"
          />
        </section>
      ) : (
        <>
          <OpsForm
            procedure={procedure}
            section={section}
            ops={row.ops ?? []}
            onChange={(ops) => set({ ops: ops.length === 0 ? undefined : ops })}
          />
          <section class="card" aria-label="What it decides">
            <h3>What it decides</h3>
            <Select
              label="Gate"
              options={GATES[section]}
              value={row.gate ?? null}
              onChoose={(gate) => set({ gate: gate ?? undefined, pair: undefined, points: undefined })}
              none="No gate"
            />
            {row.gate === "pair" && (
              <Select
                label="Paired part"
                options={procedure.pairs.map((pair) => ({ value: pair.id, name: pair.name }))}
                value={row.pair ?? null}
                onChoose={(pair) => set({ pair: pair ?? undefined })}
              />
            )}
            {row.gate === "prefit" && (
              <ProvingPoints
                serves={procedure.part.serves}
                points={row.points ?? []}
                onChange={(points) => set({ points: points.length === 0 ? undefined : points })}
              />
            )}
            {section === "turn" && (
              <Select
                label="It takes back"
                options={procedure.turn.slice(0, at).map((step) => ({ value: step.id, name: step.title }))}
                value={row.undoes ?? null}
                onChoose={(undoes) => set({ undoes: undoes ?? undefined })}
                none="No earlier step"
              />
            )}
          </section>
          {section === "in" && <WayBack row={row} onSet={set} />}
        </>
      )}
      <DrawingForm procedure={procedure} row={row} section={section} onChange={onChange} onGo={onGo} />
      <PhotosForm
        photos={row.photos ?? []}
        onChange={(photos) => set({ photos: photos.length === 0 ? undefined : photos })}
        onAdd={(sha256) => onChange((p) => addPhoto(p, id, sha256))}
      />
    </>
  );
}

type ProvingProps = {
  readonly serves: readonly string[];
  readonly points: readonly string[];
  readonly onChange: (points: readonly string[]) => void;
};

/** What the new part serves is asked first; any other point can prove it too. */
function ProvingPoints({ serves, points, onChange }: ProvingProps) {
  const isOwn = (point: (typeof POINTS)[number]): boolean => point.serves.some((each) => serves.includes(each));
  const own = POINTS.filter(isOwn);
  const others = POINTS.filter((point) => !isOwn(point));
  const chosenOthers = others.filter(({ value }) => points.includes(value)).length;
  return (
    <>
      {own.length > 0 && (
        <Choices label="Test points that prove the new part" options={own} values={points} onChange={onChange} across />
      )}
      <details open={own.length === 0}>
        <summary>Other test points{chosenOthers === 0 ? "" : `, ${chosenOthers} chosen`}</summary>
        <Choices label="Other points that prove it" options={others} values={points} onChange={onChange} across />
      </details>
    </>
  );
}

/** Without words of its own, a way back has the step's title and only what it does. */
function WayBack({ row, onSet }: { readonly row: Written; readonly onSet: (changes: Changes<Written>) => void }) {
  const { back } = row;
  if (back === undefined) {
    return (
      <section class="card" aria-label="The way back">
        <h3>The way back</h3>
        <p class="soft">What it does is turned round by itself. Say in words what a hand must know on the way back.</p>
        <Button onPress={() => onSet({ back: { title: `Back: ${row.title}`, say: [] } })}>Write the way back</Button>
      </section>
    );
  }
  return (
    <section class="card" aria-label="The way back">
      <h3>The way back</h3>
      <TextField
        label="Title of the way back"
        value={back.title}
        onInput={(title) => onSet({ back: { ...back, title } })}
        maxLength={80}
      />
      <LinesField
        label="Sentences of the way back, one a line"
        values={back.say}
        onChange={(say) => onSet({ back: { ...back, say } })}
      />
      <Button onPress={() => onSet({ back: undefined })} tone="plain">
        No words of its own
      </Button>
    </section>
  );
}
