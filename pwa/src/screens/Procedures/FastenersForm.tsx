/** The screws: groups that are alike in everything, each with its own pocket. */
import headsTable from "@shared/fastener_heads.json";
import { isLookAlike } from "../../rules/ledger.ts";
import type { Fastener, Procedure } from "../../rules/procedure.ts";
import { addFastener, dropFastener } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choices, Select, TextField } from "../../ui/fields.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { NumberField } from "../../ui/typedFields.tsx";
import { TrayDrawing } from "../parts/Drawings.tsx";
import { TrueScrew } from "../parts/TrueScrew.tsx";
import type { FormProps } from "./AboutForm.tsx";
import { Add } from "./Outline.tsx";

const HEADS = Object.entries(headsTable.heads).map(([value, { measured }]) => ({ value, name: value, measured }));

export function FastenersForm({ procedure, onChange }: FormProps) {
  const set = (id: string, changes: Partial<Fastener>): void =>
    onChange((p) => ({ ...p, fasteners: p.fasteners.map((f) => (f.id === id ? { ...f, ...changes } : f)) }));
  return (
    <>
      <h2>Fasteners</h2>
      <p class="soft">
        One group is what may go back into each other's holes. Its count is what the whole job takes out of it.
      </p>
      <figure class="step-tray proc-tray">
        <TrayDrawing pockets={pocketsOf(procedure)} />
        <figcaption class="soft small">The tray when everything is out</figcaption>
      </figure>
      {procedure.fasteners.map((f) => (
        <Group
          key={f.id}
          fastener={f}
          twins={procedure.fasteners.filter((other) => other.id !== f.id && isLookAlike(f, other))}
          onSet={(changes) => set(f.id, changes)}
          onCaution={(isLong) =>
            onChange((p) => ({
              ...p,
              fasteners: p.fasteners.map((row) => (row.id === f.id ? marked(row, isLong) : row)),
            }))
          }
          onDrop={() => onChange((p) => dropFastener(p, f.id))}
        />
      ))}
      <Add label="New group of fasteners" onAdd={(name) => onChange((p) => addFastener(p, name))} />
    </>
  );
}

type GroupProps = {
  readonly fastener: Fastener;
  readonly twins: readonly Fastener[];
  readonly onSet: (changes: Partial<Fastener>) => void;
  readonly onCaution: (isLong: boolean) => void;
  readonly onDrop: () => void;
};

function Group({ fastener: f, twins, onSet, onCaution, onDrop }: GroupProps) {
  const measured = HEADS.find((h) => h.value === f.head)?.measured;
  return (
    <section class="card" aria-label={f.name}>
      <div class="row apart">
        <h3>{f.name || "No name yet"}</h3>
        <Button onPress={onDrop} tone="plain">
          Take away<span class="unseen"> {f.name}</span>
        </Button>
      </div>
      <div class="proc-three">
        <div class="proc-wide">
          <TextField label="Name" value={f.name} onInput={(name) => onSet({ name })} maxLength={60} />
        </div>
        <NumberField label="Count" value={f.count} onChange={(count) => onSet({ count: count as number })} />
        <NumberField label="Pocket" value={f.pocket} onChange={(pocket) => onSet({ pocket: pocket as number })} />
        <TextField label="Drive" value={f.drive} onInput={(drive) => onSet({ drive })} maxLength={40} />
        <TextField label="Thread" value={f.thread} onInput={(thread) => onSet({ thread })} maxLength={20} />
        <Select label="Head" options={HEADS} value={f.head} onChoose={(head) => onSet({ head: head ?? "" })} />
        <NumberField
          label="Length in mm"
          value={f.length_um}
          onChange={(length) => onSet({ length_um: length as number })}
          thousandths
          {...(measured === undefined ? {} : { hint: `Measured ${measured}.` })}
        />
        <div class="proc-wide">
          <TextField label="Where" value={f.where} onInput={(where) => onSet({ where })} maxLength={120} />
        </div>
      </div>
      {Number.isInteger(f.length_um) && <TrueScrew fastener={f} />}
      <Choices
        label="Marks"
        options={[{ value: "long_screw", name: "Too long for other holes: warn of it by name" }]}
        values={f.caution === "long_screw" ? ["long_screw"] : []}
        onChange={(marks) => onCaution(marks.length > 0)}
      />
      {twins.map((twin) => (
        <p class="mark warn" key={twin.id}>
          <Shape name="warn" />
          Looks like {twin.name}, pocket {twin.pocket}
        </p>
      ))}
    </section>
  );
}

function marked({ caution: _, ...fastener }: Fastener, isLong: boolean): Fastener {
  return isLong ? { ...fastener, caution: "long_screw" } : fastener;
}

function pocketsOf({ fasteners }: Procedure): Parameters<typeof TrayDrawing>[0]["pockets"] {
  const last = Math.max(4, ...fasteners.map((f) => f.pocket).filter((pocket) => pocket >= 1 && pocket <= 99));
  return Array.from({ length: 4 * Math.ceil(last / 4) }, (_, at) => {
    const here = fasteners.filter((f) => f.pocket === at + 1);
    const count = here.reduce((sum, f) => sum + (f.count ?? 0), 0);
    return { pocket: at + 1, name: here.map((f) => f.name).join(", ") || null, count, lit: null };
  });
}
