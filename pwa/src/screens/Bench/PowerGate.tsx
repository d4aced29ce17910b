/** The power gate: is the battery sound? Then it is unplugged. If not, nobody works on. */
import { isolatePower } from "../../actions/gates.ts";
import { takePhoto } from "../../actions/photo.ts";
import type { Battery } from "../../events/kinds.gen.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import { judgeBattery } from "../../rules/bench.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { caution } from "../../views/cautions.ts";
import { choicesOf } from "../../words/values.ts";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";

type Answers = { readonly battery: Battery | null; readonly photos: readonly string[] };

export function PowerGate({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}`, { battery: null, photos: [] });
  const { problem, run } = useAct();
  const { battery, photos } = answers.value;
  const unsafe = battery !== null && battery !== "sound";
  const stops = battery !== null && judgeBattery(bench.job, battery) === "stop";
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(bench.code, "battery", picture),
      (photo) => answers.change((now) => ({ photos: [...now.photos, photo] })),
    );
  const decide = async (): Promise<void> => {
    const done = await run(() => {
      if (battery === null) return refuse("answer-missing", "The state of the battery.");
      return isolatePower(bench.code, step.id, battery, photos);
    });
    if (!done) return;
    answers.drop();
    scrollTo(0, 0);
  };
  const emergency = caution("battery_emergency");
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={decide} tone={stops ? "danger main" : "main"}>
          {stops
            ? "Battery unsafe: stop the job"
            : unsafe
              ? "Done: unplugged, the cell comes out"
              : "Done: battery is unplugged"}
        </Button>
      }
    >
      <Choice
        label="The battery is"
        options={choicesOf("battery")}
        value={battery}
        onChoose={(value) => answers.change({ battery: value })}
      />
      {unsafe && (
        <>
          <Notice tone="stop" title={emergency.name}>
            <p>{emergency.text}</p>
          </Notice>
          <PhotoButton label="Photo, if it is safe to take" onPicture={photograph} />
        </>
      )}
      <PhotoStrip photos={photos} what="Battery" />
    </StepPage>
  );
}
