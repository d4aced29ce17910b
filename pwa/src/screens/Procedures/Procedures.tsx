/** The shop's procedures: which there are, who works by which revision, and the way to new ones. For a lead. */
import "../../style/procedures.css";
import { useState } from "preact/hooks";
import { allDrafts } from "../../actions/drafts.ts";
import { beginProcedure, importProcedure } from "../../actions/procedure.ts";
import { signedOn } from "../../current.ts";
import { catalogue, procedures } from "../../facts/catalogue.ts";
import { isLead } from "../../facts/people.ts";
import { type Draft, draftName, openJobsAt } from "../../facts/procedureDraft.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Select, TextField } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { go } from "../route.ts";
import { Editor } from "./Editor.tsx";

export function Procedures({ id }: { readonly id: string | null }) {
  if (!isLead()) {
    return (
      <Page title="Procedures" above="Shop">
        <Refusal problem={{ slug: signedOn.value === null ? "not-signed-on" : "lead-only" }} />
      </Page>
    );
  }
  return id === null ? <List /> : <Editor key={id} id={id} />;
}

type Entry = { readonly id: string; readonly title: string; readonly model: string; readonly rev: number };

function List() {
  const { value: all = [], problem } = useLoaded(allDrafts, []);
  const drafts = all.filter((d) => d.id.startsWith(draftName(""))).map((d) => d.value as Draft);
  const kept = procedures();
  const unpublished = drafts.map((d) => d.procedure).filter((p) => !kept.some((k) => k.id === p.id));
  const entries: readonly Entry[] = [...kept, ...unpublished.map((p) => ({ ...p, rev: 0 }))];
  const byName = [...entries].sort((a, b) => `${a.model} ${a.title}`.localeCompare(`${b.model} ${b.title}`));
  return (
    <Page title="Procedures" above="Shop">
      <OnlineOnly />
      {problem !== null && <Refusal problem={problem} />}
      <ul class="rows" aria-label="Procedures of the shop">
        {byName.map((entry) => (
          <li key={entry.id}>
            <a href={`#/procedures/${entry.id}`} class="row-link">
              <strong>
                {entry.title}, {entry.model}
              </strong>
              <span class="soft">{standing(entry)}</span>
              {drafts.some((d) => d.procedure.id === entry.id) && (
                <span class="mark now">
                  <Shape name="now" size={20} />
                  Draft on this station
                </span>
              )}
            </a>
          </li>
        ))}
      </ul>
      <NewOne />
      <FromFile />
    </Page>
  );
}

function standing({ id, rev }: Entry): string {
  if (rev === 0) return "Not published yet";
  const open = [...openJobsAt(id)].sort(([a], [b]) => a - b);
  const jobs = open.map(([at, count]) => `${count} open ${count === 1 ? "job" : "jobs"} on revision ${at}`);
  return [`Revision ${rev}`, ...jobs].join(" · ");
}

function NewOne() {
  const [title, setTitle] = useState("");
  const [model, setModel] = useState<string | null>(null);
  const { problem, run } = useAct();
  const begin = () =>
    run(
      () => beginProcedure(title, model ?? ""),
      (id) => go(`procedures/${id}`),
    );
  return (
    <section class="stack" aria-label="A new procedure">
      <h2>A new procedure</h2>
      <TextField label="What it does" value={title} onInput={setTitle} maxLength={60} hint="Such as: Charge port" />
      <Select
        label="For which model"
        options={(catalogue().models ?? []).map((name) => ({ value: name, name }))}
        value={model}
        onChoose={setModel}
      />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={begin}>Begin it</Button>
    </section>
  );
}

function FromFile() {
  const { problem, run } = useAct();
  const read = (file: File) =>
    run(
      () => importProcedure(file),
      ({ id }) => go(`procedures/${id}`),
    );
  return (
    <section class="stack" aria-label="From a file">
      <h2>From a file</h2>
      <p class="soft">It becomes a draft on this station. Nothing changes for the shop before you publish it.</p>
      <div class="file-button">
        <input
          id="procedure-file"
          type="file"
          accept=".json,application/json"
          aria-label="Procedure file"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            event.currentTarget.value = "";
            if (file !== undefined) void read(file);
          }}
        />
        <label class="button" for="procedure-file">
          Take in a procedure file
        </label>
      </div>
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}
