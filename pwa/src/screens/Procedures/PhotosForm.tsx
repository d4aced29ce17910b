/** Photos of a step. They are drawn anew on this station, without location data, and kept until the server has them. */
import { keepGuidePhoto } from "../../actions/procedure.ts";
import type { StepPhoto } from "../../rules/procedure.ts";
import { MOST_PHOTOS, replacedAt, withoutAt } from "../../rules/procedureEdit.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { StepPhotos } from "../parts/StepPhotos.tsx";

type Props = {
  readonly photos: readonly StepPhoto[];
  readonly onChange: (photos: readonly StepPhoto[]) => void;
  /** A photo is ready; what stands beside it may have changed since it was taken. */
  readonly onAdd: (sha256: string) => void;
};

export function PhotosForm({ photos, onChange, onAdd }: Props) {
  const { problem, run } = useAct();
  const take = (picture: Blob) => run(() => keepGuidePhoto(picture), onAdd);
  return (
    <section class="card" aria-label="Photos">
      <h3>Photos</h3>
      <p class="soft">
        No face, no name, no number of a customer's device may be on them: they stay with the procedure.
      </p>
      {photos.map((p, at) => (
        <div key={p.photo} class="stack">
          <StepPhotos photos={[p]} />
          <TextField
            label={`What photo ${at + 1} shows`}
            value={p.say}
            onInput={(say) => onChange(replacedAt(photos, at, { ...p, say }))}
            maxLength={120}
          />
          <Button onPress={() => onChange(withoutAt(photos, at))} tone="plain">
            Take photo {at + 1} away
          </Button>
        </div>
      ))}
      {photos.length < MOST_PHOTOS && <PhotoButton label="Photo for this step" onPicture={take} />}
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}
