/** The first step of every job: wet, bulging, hot or smelling. A yes stops the job before anything is warmed or pulled. */
import { checkSafety } from "../../actions/gates.ts";
import { takePhoto } from "../../actions/photo.ts";
import type { Bench } from "../../facts/work.ts";
import { judgeSafety } from "../../rules/bench.ts";
import type { Step } from "../../rules/procedure.ts";
import { type SafetyAnswers, unsafePaths } from "../../rules/safety.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { SafetyQuestions } from "../parts/SafetyQuestions.tsx";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";

type Answers = { readonly said: SafetyAnswers; readonly photos: readonly string[] };

export function SafetyGate({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}`, { said: {}, photos: [] });
  const { problem, run } = useAct();
  const { said, photos } = answers.value;
  const all = { wet: "no", bulging: "no", hot: "no", ...said } as const;
  const stops = judgeSafety(bench.job, all) === "stop";
  const isYes = unsafePaths(said).length > 0;
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(bench.code, all.wet === "yes" ? "liquid" : "battery", picture),
      (photo) => answers.change((now) => ({ photos: [...now.photos, photo] })),
    );
  const decide = async (): Promise<void> => {
    if (!(await run(() => checkSafety(bench.code, step.id, stops ? all : said, photos)))) return;
    answers.drop();
    scrollTo(0, 0);
  };
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={decide} tone={stops ? "danger main" : "main"}>
          {stops ? "Stop the job" : isYes ? "Go on, as the lead decided" : "Go on"}
        </Button>
      }
    >
      <SafetyQuestions
        answers={said}
        onAnswer={(id, answer) => answers.change((now) => ({ said: { ...now.said, [id]: answer } }))}
      />
      {isYes && (
        <>
          <UnsafeNotice paths={unsafePaths(said)} />
          <PhotoButton label="Photo, if it is safe to take" onPicture={photograph} />
        </>
      )}
      <PhotoStrip photos={photos} what="Seen before the work" />
    </StepPage>
  );
}
