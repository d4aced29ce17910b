/** The liquid gate: indicator, signs, a photo of each; any sign stops the job. */
import { inspectLiquid } from "../../actions/gates.ts";
import { takePhoto } from "../../actions/photo.ts";
import type { Indicator, Sign } from "../../events/kinds.gen.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import type { LiquidFinding } from "../../rules/bench.ts";
import type { Step } from "../../rules/procedure.ts";
import { isTripped } from "../../rules/wet.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, Choices, TextField } from "../../ui/fields.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { choicesOf } from "../../words/values.ts";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { ColourReading } from "./ColourReading.tsx";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";

type Answers = Omit<LiquidFinding, "indicator"> & { readonly indicator: Indicator | null };

export function LiquidGate({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}`, {
    indicator: null,
    signs: [],
    photos: {},
    note: "",
  });
  const { problem, run } = useAct();
  const { indicator, signs, photos, note } = answers.value;
  const tripped = isTripped(indicator);
  const stops = tripped || signs.length > 0;
  const photograph = (what: string, picture: Blob) =>
    run(
      () => takePhoto(bench.code, "liquid", picture),
      (photo) => answers.change((now) => ({ photos: { ...now.photos, [what]: photo } })),
    );
  const decide = async (): Promise<void> => {
    const shown = Object.fromEntries(
      Object.entries(photos).filter(([what]) => what === "indicator" || signs.includes(what as Sign)),
    );
    const done = await run(() => {
      if (indicator === null) return refuse("answer-missing", "The indicator.");
      return inspectLiquid(bench.code, step.id, { indicator, signs, photos: shown, note });
    });
    if (!done) return;
    answers.drop();
    scrollTo(0, 0);
  };
  const wanted = [
    ...(indicator === null
      ? []
      : [
          {
            what: "indicator",
            name: indicator === "not_visible" ? "the indicator's place" : "the indicator",
            must: tripped,
          },
        ]),
    ...signs.map((s) => ({ what: s, name: s, must: true })),
  ];
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={decide} tone={stops ? "danger main" : "main"}>
          {stops ? "Signs of liquid: stop the job" : "Dry: go on"}
        </Button>
      }
    >
      <Choice
        label="Indicator"
        options={choicesOf("indicator")}
        value={indicator}
        onChoose={(value) => answers.change({ indicator: value })}
      />
      <Choices
        label="Signs on board, connectors, screw heads"
        options={choicesOf("sign")}
        values={signs}
        onChange={(value) => answers.change({ signs: value })}
        across
      />
      {wanted.map(({ what, name, must }) => (
        <div class="stack" key={what}>
          <PhotoButton
            label={`Photo of ${name}${must ? "" : ", if it helps"}`}
            onPicture={(picture) => photograph(what, picture)}
          />
          <PhotoStrip photos={photos[what] === undefined ? [] : [photos[what]]} what={`Photo of ${name}`} />
          {what === "indicator" && indicator !== "not_visible" && photos.indicator !== undefined && (
            <ColourReading key={photos.indicator} code={bench.code} job={bench.job} photo={photos.indicator} />
          )}
        </div>
      ))}
      {(indicator === "not_visible" || note !== "") && (
        <TextField
          label="Note"
          value={note}
          onInput={(value) => answers.change({ note: value })}
          hint="Why the indicator cannot be seen, when there is no photo"
        />
      )}
      {stops && (
        <p class="mark stop">
          <Shape name="stop" />
          This ends the repair. Only closing up and handing back remain.
        </p>
      )}
    </StepPage>
  );
}
