/** Models, suppliers and kinds of parts that the shop works with. */
import { useState } from "preact/hooks";
import { saveCatalogue } from "../../actions/shop.ts";
import { catalogue } from "../../facts/catalogue.ts";
import { type Result, refuse } from "../../problem.ts";
import { slugOf } from "../../rules/slug.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";

export function CatalogueScreen() {
  const { models = [], suppliers = [], parts = [] } = catalogue();
  const byName = (a: string, b: string) => a.localeCompare(b);
  return (
    <Page title="Catalogue" above="Shop">
      <OnlineOnly />
      <Names
        title="Models"
        label="A model to add"
        names={[...models].sort(byName)}
        onAdd={(name) => saveCatalogue({ models: [...models, name] })}
        onRemove={(name) => saveCatalogue({ models: models.filter((m) => m !== name) })}
      />
      <Names
        title="Suppliers"
        label="A supplier to add"
        names={suppliers.map((s) => s.name)}
        onAdd={(name) =>
          saveCatalogue({
            suppliers: [
              ...suppliers,
              {
                id: slugOf(
                  name,
                  suppliers.map((s) => s.id),
                ),
                name,
              },
            ],
          })
        }
        onRename={(from, to) =>
          saveCatalogue({ suppliers: suppliers.map((s) => (s.name === from ? { ...s, name: to } : s)) })
        }
      />
      <Names
        title="Kinds of parts"
        label="A kind of part to add"
        names={parts.map((p) => p.name)}
        onAdd={(name) =>
          saveCatalogue({
            parts: [
              ...parts,
              {
                kind: slugOf(
                  name,
                  parts.map((p) => p.kind),
                ),
                name,
              },
            ],
          })
        }
        onRename={(from, to) => saveCatalogue({ parts: parts.map((p) => (p.name === from ? { ...p, name: to } : p)) })}
      />
      <p class="soft">Suppliers and kinds of parts stand on old records, so they are renamed and never taken away.</p>
    </Page>
  );
}

type NamesProps = {
  readonly title: string;
  readonly label: string;
  readonly names: readonly string[];
  readonly onAdd: (name: string) => Promise<Result<true>>;
  readonly onRemove?: (name: string) => Promise<Result<true>>;
  readonly onRename?: (from: string, to: string) => Promise<Result<true>>;
};

function Names({ title, label, names, onAdd, onRemove, onRename }: NamesProps) {
  const [typed, setTyped] = useState("");
  const [renaming, setRenaming] = useState<string | null>(null);
  const { problem, busy, run } = useAct();
  const save = async (): Promise<void> => {
    const name = typed.trim();
    const done = await run(() => {
      if (name === "") return refuse("field-missing", "Type a name.");
      if (names.includes(name)) return refuse("field-missing", "This name is in the list already.");
      return renaming !== null && onRename !== undefined ? onRename(renaming, name) : onAdd(name);
    });
    if (!done) return;
    setTyped("");
    setRenaming(null);
  };
  return (
    <section class="stack" aria-label={title}>
      <h2>{title}</h2>
      <ul class="rows">
        {names.map((name) => (
          <li key={name} class="row apart">
            <span>{name}</span>
            {onRename !== undefined && (
              <Button
                onPress={() => {
                  setRenaming(name);
                  setTyped(name);
                }}
                tone="plain"
              >
                Rename<span class="unseen"> {name}</span>
              </Button>
            )}
            {onRemove !== undefined && (
              <Button onPress={() => run(() => onRemove(name))} tone="plain" disabled={busy}>
                Remove<span class="unseen"> {name}</span>
              </Button>
            )}
          </li>
        ))}
      </ul>
      <form
        class="row shop-add"
        onSubmit={(event) => {
          event.preventDefault();
          void save();
        }}
      >
        <TextField
          label={renaming === null ? label : `New name for ${renaming}`}
          value={typed}
          onInput={setTyped}
          maxLength={80}
        />
        <button type="submit" class="button" disabled={busy}>
          {renaming === null ? "Add" : "Rename"}
        </button>
      </form>
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}
