/** Something went wrong by us: what, where, whether the place was looked at, what it harmed, a photo. Kept until it is written. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { type IncidentEntry, noteIncident } from "../../actions/incident.ts";
import { keptAnswers } from "../../actions/keptAnswers.ts";
import { takePhoto } from "../../actions/photo.ts";
import type { Job } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, Choices, Select, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { INCIDENTS, likelyHarmed, otherPoints } from "../../views/incidents.ts";
import { pointName } from "../../words/points.ts";
import { PhotoButton } from "./photos/PhotoButton.tsx";
import { PhotoStrip } from "./photos/PhotoStrip.tsx";

const BLANK: IncidentEntry = { what: null, where: "", looked: null, points: [], note: "", photos: [] };
const MOST_PHOTOS = 8;

type Props = { readonly code: string; readonly job: Job; readonly onDone: () => void };

export function IncidentForm({ code, job, onDone }: Props) {
  const [entry, setEntry] = useState(BLANK);
  const { problem, run } = useAct();
  const kept = useMemo(() => keptAnswers(`incident:${code}`, BLANK, setEntry), [code]);
  useEffect(() => {
    setEntry(kept.now());
    return kept.leave;
  }, [kept]);
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(code, "repair", picture),
      (photo) => kept.change((now) => ({ photos: [...now.photos, photo] })),
    );
  const write = async (): Promise<void> => {
    if (!(await run(() => noteIncident(code, entry)))) return;
    kept.drop();
    onDone();
  };
  const offered = [...new Set([...likelyHarmed(job), ...entry.points])];
  return (
    <div class="stack">
      <p>Say it as it happened. It stays on the record, the customer is told, and a lead decides what is owed.</p>
      <Choice
        label="What went wrong?"
        options={INCIDENTS}
        value={entry.what}
        onChoose={(what) => kept.change({ what })}
      />
      <TextField
        label="Where?"
        value={entry.where}
        onInput={(where) => kept.change({ where })}
        hint="The part, the hole or the side, as the customer may read it."
        maxLength={120}
      />
      <Choice
        label="Were the place, the hole and the board below looked at?"
        options={[
          { value: "yes", name: "Yes, looked at" },
          { value: "no", name: "No" },
        ]}
        value={entry.looked}
        onChoose={(looked) => kept.change({ looked })}
        across
      />
      {offered.length > 0 && (
        <Choices
          label="What does not work since?"
          options={offered.map((point) => ({ value: point, name: pointName(point) }))}
          values={entry.points}
          onChange={(points) => kept.change({ points })}
        />
      )}
      <Select
        label={offered.length === 0 ? "What does not work since?" : "Another point"}
        options={otherPoints(job, entry.points)}
        value={null}
        onChoose={(point) => point !== null && kept.change((now) => ({ points: [...now.points, point] }))}
        none="Nothing more"
      />
      <TextField
        label="Note for the shop"
        value={entry.note}
        onInput={(note) => kept.change({ note })}
        lines
        maxLength={300}
      />
      <PhotoStrip photos={entry.photos} what="What went wrong" />
      {entry.photos.length < MOST_PHOTOS && <PhotoButton label="Photo of it" onPicture={photograph} />}
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={write} tone="danger">
        Write it on the record
      </Button>
    </div>
  );
}
