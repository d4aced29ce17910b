/** Connectors, and parts that are paired to the device. */
import type { Connector } from "../../rules/procedure.ts";
import { addConnector, addPair, dropConnector, dropPair } from "../../rules/procedureEdit.ts";
import { testPoints } from "../../tables/testPoints.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choices, Select, TextField } from "../../ui/fields.tsx";
import { type FormProps, FUNCTIONS } from "./AboutForm.tsx";
import { Add } from "./Outline.tsx";

export function ConnectorsForm({ procedure, onChange }: FormProps) {
  const set = (id: string, by: (row: Connector) => Connector): void =>
    onChange((p) => ({ ...p, connectors: p.connectors.map((c) => (c.id === id ? by(c) : c)) }));
  return (
    <>
      <h2>Connectors</h2>
      <p class="soft">The one that carries power is unplugged before all others, and plugged in after them.</p>
      {procedure.connectors.map((c) => (
        <section class="card" key={c.id} aria-label={c.name}>
          <div class="row apart">
            <h3>{c.name || "No name yet"}</h3>
            <Button onPress={() => onChange((p) => dropConnector(p, c.id))} tone="plain">
              Take away<span class="unseen"> {c.name}</span>
            </Button>
          </div>
          <TextField
            label="Name"
            value={c.name}
            onInput={(name) => set(c.id, (row) => ({ ...row, name }))}
            maxLength={60}
          />
          <Choices
            label="Power"
            options={[{ value: "power", name: "It carries power: the battery's own connector" }]}
            values={c.power === true ? ["power"] : []}
            onChange={(marks) => set(c.id, (row) => powered(row, marks.length > 0))}
          />
          <Choices
            label="What it serves"
            options={FUNCTIONS}
            values={c.serves}
            onChange={(serves) => set(c.id, (row) => ({ ...row, serves }))}
            across
          />
        </section>
      ))}
      <Add label="New connector" onAdd={(name) => onChange((p) => addConnector(p, name))} />
    </>
  );
}

function powered({ power: _, ...row }: Connector, isPower: boolean): Connector {
  return isPower ? { ...row, power: true } : row;
}

const POINTS = Object.entries(testPoints).map(([value, point]) => ({ value, name: point.name }));

export function PairsForm({ procedure, onChange }: FormProps) {
  const set = (id: string, changes: { readonly name?: string; readonly test?: string }): void =>
    onChange((p) => ({ ...p, pairs: p.pairs.map((row) => (row.id === id ? { ...row, ...changes } : row)) }));
  return (
    <>
      <h2>Paired parts</h2>
      <p class="soft">
        Parts that work with this one device only. Each must move over from the old part to the new one.
      </p>
      {procedure.pairs.map((pair) => (
        <section class="card" key={pair.id} aria-label={pair.name}>
          <div class="row apart">
            <h3>{pair.name || "No name yet"}</h3>
            <Button onPress={() => onChange((p) => dropPair(p, pair.id))} tone="plain">
              Take away<span class="unseen"> {pair.name}</span>
            </Button>
          </div>
          <div class="proc-two">
            <TextField label="Name" value={pair.name} onInput={(name) => set(pair.id, { name })} maxLength={60} />
            <Select
              label="Test point that shows it working"
              options={POINTS}
              value={pair.test}
              onChoose={(test) => set(pair.id, { test: test ?? "" })}
            />
          </div>
        </section>
      ))}
      <Add label="New paired part" onAdd={(name) => onChange((p) => addPair(p, name))} />
    </>
  );
}
