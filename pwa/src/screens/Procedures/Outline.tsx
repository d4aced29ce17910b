/** What a procedure consists of. The way out is not in it: it comes by itself. */
import { useState } from "preact/hooks";
import { type FaultLine, type Place, samePlace } from "../../facts/procedureDraft.ts";
import { type Procedure, SECTIONS, type Section } from "../../rules/procedure.ts";
import { SECTION_NAMES } from "../../rules/procedureDifference.ts";
import { addScene, addStep } from "../../rules/procedureEdit.ts";
import { Shape } from "../../ui/Shape.tsx";

type Props = {
  readonly procedure: Procedure;
  readonly place: Place;
  readonly faults: readonly FaultLine[];
  readonly onGo: (place: Place) => void;
  readonly onChange: (by: (procedure: Procedure) => Procedure) => void;
};

const HINTS: Readonly<Record<Section, string>> = {
  in: "As far as the old part is out. The way out comes by itself.",
  turn: "Old for new: trial, proof, what moves over.",
  closing: "What only closing has, such as new seals.",
};

export function Outline({ procedure, place, faults, onGo, onChange }: Props) {
  const item = (to: Place, name: string): object => ({
    to,
    name,
    isHere: samePlace(to, place),
    faults: faults.filter((f) => samePlace(f.place, to)).length,
    onGo,
  });
  return (
    <nav class="proc-outline" aria-label="Parts of the procedure">
      <ul>
        <Item {...(item({ part: "about" }, "About") as ItemProps)} />
        <Item {...(item({ part: "fasteners" }, `Fasteners (${procedure.fasteners.length})`) as ItemProps)} />
        <Item {...(item({ part: "connectors" }, `Connectors (${procedure.connectors.length})`) as ItemProps)} />
        <Item {...(item({ part: "pairs" }, `Paired parts (${procedure.pairs.length})`) as ItemProps)} />
      </ul>
      {SECTIONS.map((section) => (
        <section key={section} aria-label={SECTION_NAMES[section]}>
          <h2>{SECTION_NAMES[section]}</h2>
          <p class="soft small">{HINTS[section]}</p>
          <ol>
            {procedure[section].map((row, at) => (
              <Item
                key={row.id}
                {...(item({ part: "step", id: row.id }, `${at + 1}. ${row.title || "No title yet"}`) as ItemProps)}
              />
            ))}
          </ol>
          <Add
            label={`New step, ${SECTION_NAMES[section].toLowerCase()}`}
            onAdd={(title) => {
              onChange((p) => {
                const [next, id] = addStep(p, section, title);
                onGo({ part: "step", id });
                return next;
              });
            }}
          />
        </section>
      ))}
      <section aria-label="Views">
        <h2>Views</h2>
        <p class="soft small">What several steps are drawn upon.</p>
        <ul>
          {Object.entries(procedure.scenes ?? {}).map(([id, scene]) => (
            <Item key={id} {...(item({ part: "scene", id }, scene.say || "No name yet") as ItemProps)} />
          ))}
        </ul>
        <Add
          label="New view"
          onAdd={(say) => {
            onChange((p) => {
              const [next, id] = addScene(p, say);
              onGo({ part: "scene", id });
              return next;
            });
          }}
        />
      </section>
    </nav>
  );
}

type ItemProps = {
  readonly to: Place;
  readonly name: string;
  readonly isHere: boolean;
  readonly faults: number;
  readonly onGo: (place: Place) => void;
};

function Item({ to, name, isHere, faults, onGo }: ItemProps) {
  return (
    <li>
      <button type="button" class="proc-item" aria-current={isHere ? "true" : undefined} onClick={() => onGo(to)}>
        <span>{name}</span>
        {faults > 0 && (
          <span class="proc-item-faults">
            <Shape name="warn" size={20} />
            {faults}
            <span class="unseen"> {faults === 1 ? "fault" : "faults"}</span>
          </span>
        )}
      </button>
    </li>
  );
}

/** A name, and the thing is there: everything else is filled in afterwards. */
export function Add({ label, onAdd }: { readonly label: string; readonly onAdd: (name: string) => void }) {
  const [name, setName] = useState("");
  return (
    <form
      class="proc-add"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === "") return;
        onAdd(name.trim());
        setName("");
      }}
    >
      <input
        aria-label={label}
        placeholder={label.split(",")[0]}
        value={name}
        maxLength={60}
        onInput={(event) => setName(event.currentTarget.value)}
      />
      <button type="submit" class="button">
        Add<span class="unseen"> {label.toLowerCase()}</span>
      </button>
    </form>
  );
}
