/** The first step of every booking: is it wet, does it bulge, is it hot? A yes leads to its own way at once. */
import { useEffect, useRef, useState } from "preact/hooks";
import { BEFORE_JOB, MOST_PHOTOS } from "../../actions/book.ts";
import { keepPhoto } from "../../device/photo.ts";
import type { Problem } from "../../problem.ts";
import { isSafetyAnswered, unsafePaths } from "../../rules/safety.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { SafetyQuestions } from "../parts/SafetyQuestions.tsx";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import type { StepProps } from "./step.ts";

export function SafetyStep({ booking, change }: StepProps) {
  const paths = unsafePaths(booking.safety);
  const shown = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (paths.length > 0) shown.current?.scrollIntoView({ block: "start" });
  }, [paths.join()]);
  return (
    <>
      {paths.length > 0 && (
        <div class="stack safety-way" ref={shown}>
          <UnsafeNotice paths={paths} />
          {!isSafetyAnswered(booking.safety) && (
            <p class="big">Answer the rest by looking only. Do not touch it more.</p>
          )}
        </div>
      )}
      <SafetyQuestions
        answers={booking.safety}
        onAnswer={(question, answer) => change({ safety: { ...booking.safety, [question]: answer } })}
      />
      {paths.length > 0 && <Photos booking={booking} change={change} />}
    </>
  );
}

function Photos({ booking, change }: StepProps) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = async (picture: Blob): Promise<void> => {
    const kept = await keepPhoto(BEFORE_JOB, picture);
    setProblem(kept.ok ? null : kept.problem);
    if (kept.ok) change({ photos: [...booking.photos, kept.value] });
  };
  return (
    <section class="stack" aria-label="Photos of it">
      <PhotoStrip photos={booking.photos.map((p) => p.sha256)} what="What was seen" />
      {booking.photos.length < MOST_PHOTOS && (
        <PhotoButton label="Photo, if it is safe to take" onPicture={(p) => void take(p)} />
      )}
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}
