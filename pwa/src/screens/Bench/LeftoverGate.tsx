/** Nothing left over: ledger, connectors and old part are checked by rule; tray, bench and what tests left on the device by eye. */
import { closeJob } from "../../actions/gates.ts";
import { takePhoto } from "../../actions/photo.ts";
import type { Traces as TracesLeft } from "../../events/kinds.gen.ts";
import type { Bench } from "../../facts/work.ts";
import { mayCloseJob } from "../../rules/bench.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choices } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";
import { Traces } from "./Traces.tsx";

type Look = "tray" | "bench";
type Answers = {
  readonly looked: readonly Look[];
  readonly photos: readonly string[];
  readonly traces: TracesLeft | null;
};

const LOOKS: readonly { readonly value: Look; readonly name: string }[] = [
  { value: "tray", name: "The tray is empty, every pocket" },
  { value: "bench", name: "Nothing of this device lies on the bench" },
];

export function LeftoverGate({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}`, {
    looked: [],
    photos: [],
    traces: null,
  });
  const { problem, run } = useAct();
  const { looked, photos, traces } = answers.value;
  const may = mayCloseJob(bench.job, bench.procedure);
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(bench.code, "leftover", picture),
      (photo) => answers.change((now) => ({ photos: [...now.photos, photo] })),
    );
  const close = async (): Promise<void> => {
    if (!(await run(() => closeJob(bench.code, step.id, looked.length === LOOKS.length, photos, traces)))) return;
    answers.drop();
    scrollTo(0, 0);
  };
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={may.ok ? problem : null}
      action={
        <Button onPress={close} tone="main">
          {bench.stopped ? "Closed up: nothing left over" : "Ready: nothing left over"}
        </Button>
      }
    >
      {may.ok ? (
        <p class="mark good">
          <Shape name="done" />
          The ledger is at zero and every connector is in.
        </p>
      ) : (
        <Refusal problem={may.problem} answers={problem} />
      )}
      <Choices
        label="Looked at"
        options={LOOKS}
        values={looked}
        onChange={(value) => answers.change({ looked: value })}
      />
      <Traces job={bench.job} value={traces} onChoose={(value) => answers.change({ traces: value })} />
      <PhotoButton label="Photo of the empty tray, if wanted" onPicture={photograph} />
      <PhotoStrip photos={photos} what="Empty tray" />
    </StepPage>
  );
}
