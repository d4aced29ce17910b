/** Photos that belong to a step of the procedure, each with what it shows. */
import "../../style/step.css";
import type { StepPhoto } from "../../rules/procedure.ts";
import { Shape } from "../../ui/Shape.tsx";
import { usePhoto } from "./photos/usePhoto.ts";

export function StepPhotos({ photos }: { readonly photos: readonly StepPhoto[] }) {
  return (
    <>
      {photos.map((p) => (
        <Guide key={p.photo} {...p} />
      ))}
    </>
  );
}

function Guide({ photo, say }: StepPhoto) {
  const { src, isAway, onAway } = usePhoto(photo, "thumb");
  if (src === null) return null;
  return (
    <figure class="step-guide">
      {isAway ? (
        <p class="mark">
          <Shape name="away" />
          This photo is not on this station yet. Its drawing and its words are.
        </p>
      ) : (
        <img src={src} alt={say} onError={onAway} />
      )}
      <figcaption class="soft small">{say}</figcaption>
    </figure>
  );
}
