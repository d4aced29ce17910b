/** A note on the job's record, or a photo: from any station, at any stage. */
import { useState } from "preact/hooks";
import { dropDraft, keepDraft, readDraft } from "../../actions/drafts.ts";
import { takePhoto } from "../../actions/photo.ts";
import { addNote } from "../../actions/tell.ts";
import type { Job } from "../../fold/state.ts";
import { ok, type Problem } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { go } from "../route.ts";

type Props = { readonly code: string; readonly job: Job };

/** The form begins with what was typed before; it is not there before that was read, so that nothing jumps into it. */
export function Note({ code, job }: Props) {
  const { value: kept, problem } = useLoaded(async () => (await readDraft<string>(draftOf(code))) ?? "", [code]);
  if (kept !== undefined || problem !== null) return <Form code={code} job={job} kept={kept ?? ""} unread={problem} />;
  return null;
}

const draftOf = (code: string): string => `note:${code}`;

function Form({ code, job, kept, unread }: Props & { readonly kept: string; readonly unread: Problem | null }) {
  const draft = draftOf(code);
  const [note, setNote] = useState(kept);
  const [taken, setTaken] = useState<readonly string[]>([]);
  const { problem, run } = useAct();
  useHeadingFocus("note");
  const type = (text: string): void => {
    setNote(text);
    void run(async () => ok(await keepDraft(draft, text)));
  };
  const write = () =>
    run(
      () => addNote(code, note),
      async () => {
        await dropDraft(draft);
        go(`job/${code}`, "replace");
      },
    );
  /** A photo is on the record at once; the note may still be thrown away. */
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(code, "other", picture),
      (photo) => setTaken((before) => [...before, photo]),
    );
  return (
    <>
      <Page title="Add a note or photo" above={`${job.model}, job ${groupCode(code)}`}>
        <TextField
          label="Note"
          value={note}
          onInput={type}
          hint="It stays on the record. No names, numbers or codes of the customer."
          lines
          maxLength={600}
        />
        <PhotoButton label="Take a photo" onPicture={photograph} />
        <PhotoStrip photos={taken} what="Photo on the record" />
        {unread !== null && <Refusal problem={unread} />}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Back
        </Button>
        <Button onPress={write} tone="main" disabled={note.trim() === ""}>
          Save the note
        </Button>
      </Dock>
    </>
  );
}
