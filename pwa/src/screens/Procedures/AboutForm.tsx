/** What the procedure is for: title, model, the new part and the old one. */
import pointsTable from "@shared/test_points.json";
import { catalogue } from "../../facts/catalogue.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { withMember } from "../../rules/procedureEdit.ts";
import { testPoints } from "../../tables/testPoints.ts";
import { Choices, Select, TextField } from "../../ui/fields.tsx";
import { LinesField, NumberField } from "../../ui/typedFields.tsx";
import { RECEIVED_AS } from "../../words/battery.ts";
import { upper } from "../../words/format.ts";
import { choicesOf } from "../../words/values.ts";

export type FormProps = {
  readonly procedure: Procedure;
  readonly onChange: (by: (procedure: Procedure) => Procedure) => void;
};

/** What parts and connectors serve, as the test points name it. */
export const FUNCTIONS: readonly { readonly value: string; readonly name: string }[] = [
  ...new Set(Object.values(pointsTable.points).flatMap((point) => point.serves)),
]
  .sort()
  .map((value) => ({ value, name: upper(value.replaceAll("_", " ")) }));

const POINTS = Object.entries(testPoints).map(([value, { name }]) => ({ value, name }));
/** A part that was DOA is sent back by the shop, not by a procedure. */
const PURPOSES = choicesOf("purpose", ["credit", "recycling", "battery"]);

export function AboutForm({ procedure, onChange }: FormProps) {
  const { part, core } = procedure;
  const set = (changes: Partial<Procedure>): void => onChange((p) => ({ ...p, ...changes }));
  const setPart = (changes: Partial<Procedure["part"]>): void =>
    onChange((p) => ({ ...p, part: { ...p.part, ...changes } }));
  const setCore = (changes: Partial<Procedure["core"]>): void =>
    onChange((p) => ({ ...p, core: { ...p.core, ...changes } }));
  const models = (catalogue().models ?? []).map((name) => ({ value: name, name }));
  const parts = catalogue().parts ?? [];
  const isAlone = (name: string): boolean => parts.filter((p) => p.name === name).length === 1;
  const kinds = parts.map(({ kind, name }) => ({ value: kind, name: isAlone(name) ? name : `${name}, ${kind}` }));
  const hasWholeTest = procedure.closing.some((row) => row.gate === "final");
  const hasBattery = core.shipping_caution !== "none";
  return (
    <>
      <section class="card" aria-label="The procedure">
        <h2>The procedure</h2>
        <TextField label="Title" value={procedure.title} onInput={(title) => set({ title })} maxLength={60} />
        <div class="proc-two">
          <Select
            label="Model"
            options={models}
            value={procedure.model}
            onChoose={(model) => set({ model: model ?? "" })}
          />
          <NumberField
            label="Bench time in minutes"
            value={procedure.minutes}
            onChange={(minutes) => set({ minutes: minutes as number })}
          />
        </div>
        <LinesField
          label="Used up, one on each line"
          values={procedure.needs ?? []}
          onChange={(needs) => onChange((p) => withMember(p, "needs", needs))}
          hint="Seals, strips, tape. The tools are collected from the steps."
        />
        <TextField
          label="Whom to ask when it does not go as written"
          value={procedure.ask ?? ""}
          onInput={(ask) => onChange((p) => withMember(p, "ask", ask))}
          maxLength={300}
        />
        {(hasWholeTest || procedure.recheck !== undefined) && (
          <Choices
            label="Tested again at the end, after the glue"
            options={POINTS}
            values={procedure.recheck ?? []}
            onChange={(recheck) => onChange((p) => withMember(p, "recheck", recheck))}
            across
          />
        )}
      </section>
      <section class="card" aria-label="The new part">
        <h2>The new part</h2>
        <div class="proc-two">
          <TextField
            label="Name of the new part"
            value={part.name}
            onInput={(name) => setPart({ name })}
            maxLength={60}
          />
          <Select
            label="Kind of the new part"
            options={kinds}
            value={part.kind}
            onChoose={(kind) => setPart({ kind: kind ?? "" })}
          />
        </div>
        <p class="soft small">Kinds of parts and models stand in the catalogue, under Shop.</p>
        <Choices
          label="What it serves"
          options={FUNCTIONS}
          values={part.serves}
          onChange={(serves) => setPart({ serves })}
          across
        />
      </section>
      <section class="card" aria-label="The old part">
        <h2>The old part</h2>
        <div class="proc-two">
          <TextField
            label="Name of the old part"
            value={core.name}
            onInput={(name) => setCore({ name })}
            maxLength={60}
          />
          <Select
            label="Kind of the old part"
            options={kinds}
            value={core.kind}
            onChoose={(kind) => setCore({ kind: kind ?? "" })}
          />
          <Select
            label="It goes back for"
            options={PURPOSES}
            value={core.purpose}
            onChoose={(purpose) => setCore({ purpose: purpose ?? "" })}
          />
          <Select
            label="Battery"
            options={RECEIVED_AS}
            value={core.shipping_caution}
            onChoose={(caution) => onChange((p) => ({ ...p, core: withBattery(p.core, caution ?? "none") }))}
          />
          {hasBattery && (
            <NumberField
              label="Its energy in mWh"
              value={core.energy_mwh}
              onChange={(energy) => onChange((p) => ({ ...p, core: withEnergy(p.core, energy) }))}
              hint="As printed on it; 1 Wh is 1000 mWh. Leave it empty when nobody knows."
            />
          )}
        </div>
      </section>
    </>
  );
}

type Core = Procedure["core"];

function withBattery(core: Core, caution: string): Core {
  return caution === "none"
    ? withEnergy({ ...core, shipping_caution: caution }, undefined)
    : { ...core, shipping_caution: caution };
}

function withEnergy({ energy_mwh: _, ...core }: Core, energy: number | undefined): Core {
  return energy === undefined ? core : { ...core, energy_mwh: energy };
}
