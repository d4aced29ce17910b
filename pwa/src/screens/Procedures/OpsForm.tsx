/** What a step does to whole groups of fasteners and to connectors, in order. On the way out each is turned round, the last first. */
import type { Op, Procedure, Section } from "../../rules/procedure.ts";
import { movedBy, replacedAt, withoutAt } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choices, Select, TextField } from "../../ui/fields.tsx";
import { NumberField } from "../../ui/typedFields.tsx";

type Verb = Op["op"];
type Props = {
  readonly procedure: Procedure;
  readonly section: Section;
  readonly ops: readonly Op[];
  readonly onChange: (ops: readonly Op[]) => void;
};

const VERBS: Readonly<Record<Verb, string>> = {
  remove: "Take out fasteners",
  insert: "Put in fasteners",
  unplug: "Unplug",
  plug: "Plug in",
  lift: "Lift off",
  seat: "Seat",
};
/** The way in only opens; the turn does both. */
const OFFERED: Readonly<Record<Section, readonly Verb[]>> = {
  in: ["remove", "unplug", "lift"],
  turn: ["remove", "insert", "unplug", "plug", "lift", "seat"],
  closing: [],
};

export function OpsForm({ procedure, section, ops, onChange }: Props) {
  const groups = procedure.fasteners.map((f) => ({ value: f.id, name: f.name }));
  const plugs = procedure.connectors.map((c) => ({ value: c.id, name: c.name }));
  const set = (at: number, op: Op): void => onChange(replacedAt(ops, at, op));
  return (
    <section class="card" aria-label="What it does">
      <h3>What it does</h3>
      {ops.length === 0 && <p class="soft">Nothing to fasteners or connectors.</p>}
      <ol class="proc-ops">
        {ops.map((op, at) => (
          <li key={at} class="proc-op">
            {(op.op === "remove" || op.op === "insert") && (
              <Select
                label={VERBS[op.op]}
                options={groups}
                value={op.group}
                onChoose={(group) => set(at, { ...op, group: group ?? "" })}
              />
            )}
            {(op.op === "unplug" || op.op === "plug") && (
              <Select
                label={VERBS[op.op]}
                options={plugs}
                value={op.connector}
                onChoose={(connector) => set(at, { ...op, connector: connector ?? "" })}
              />
            )}
            {(op.op === "lift" || op.op === "seat") && (
              <>
                <TextField
                  label={VERBS[op.op]}
                  value={op.what}
                  onInput={(what) => set(at, { ...op, what })}
                  maxLength={60}
                />
                <NumberField
                  label="Never past, degrees"
                  value={op.angle_max_deg}
                  onChange={(angle) => set(at, angled(op, angle))}
                  hint="Empty: no limit"
                />
                {op.op === "lift" && (
                  <Choices
                    label="Cell"
                    options={[{ value: "cell", name: "This takes the battery's cell out" }]}
                    values={op.cell === true ? ["cell"] : []}
                    onChange={(marks) => set(at, celled(op, marks.length > 0))}
                  />
                )}
              </>
            )}
            <div class="row">
              <Button onPress={() => onChange(movedBy(ops, at, -1))} disabled={at === 0}>
                Earlier
              </Button>
              <Button onPress={() => onChange(movedBy(ops, at, 1))} disabled={at === ops.length - 1}>
                Later
              </Button>
              <Button onPress={() => onChange(withoutAt(ops, at))} tone="plain">
                Take away
              </Button>
            </div>
          </li>
        ))}
      </ol>
      <div class="row">
        {OFFERED[section].map((verb) => (
          <Button key={verb} onPress={() => onChange([...ops, fresh(verb, procedure)])}>
            + {VERBS[verb]}
          </Button>
        ))}
      </div>
    </section>
  );
}

function fresh(verb: Verb, { fasteners, connectors }: Procedure): Op {
  switch (verb) {
    case "remove":
    case "insert":
      return { op: verb, group: fasteners[0]?.id ?? "" };
    case "unplug":
    case "plug":
      return { op: verb, connector: connectors[0]?.id ?? "" };
    case "lift":
    case "seat":
      return { op: verb, what: "" };
  }
}

type Lifting = Extract<Op, { readonly what: string }>;

function angled({ angle_max_deg: _, ...op }: Lifting, angle: number | undefined): Lifting {
  return angle === undefined ? op : { ...op, angle_max_deg: angle };
}

function celled({ cell: _, ...op }: Lifting, isCell: boolean): Lifting {
  return isCell ? { ...op, cell: true } : op;
}
