/** The old part: condition, photos, cautions, its own code and label. */
import { leaveCore, NO_CORE, packCore, tagCore } from "../../actions/gates.ts";
import { takePhoto } from "../../actions/photo.ts";
import { state } from "../../current.ts";
import type { CoreCondition } from "../../events/kinds.gen.ts";
import { catalogue } from "../../facts/catalogue.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import { fittedPart } from "../../rules/bench.ts";
import type { Step } from "../../rules/procedure.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { cautionsOf } from "../../views/cautions.ts";
import { groupCode } from "../../words/format.ts";
import { choicesOf } from "../../words/values.ts";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { coreLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { Cautions } from "../parts/StepFace.tsx";
import { useAnswer } from "./answer.ts";
import { useKept } from "./kept.ts";
import { StepPage } from "./StepPage.tsx";

type Props = { readonly bench: Bench; readonly step: Step };

export function CoreGate(props: Props) {
  const core = Object.keys(props.bench.job.cores).at(-1);
  return core === undefined ? <Tagging {...props} /> : <Tagged {...props} core={core} />;
}

type Answers = {
  readonly condition: CoreCondition | null;
  readonly battery: "sound" | "damaged" | null;
  readonly supplier: string | null;
  readonly photos: readonly string[];
};

/** A swollen one is told by the question about its battery. */
const CONDITIONS = choicesOf("core_condition", ["complete", "cracked", "bent", "burnt", "incomplete"]);

function Tagging({ bench, step }: Props) {
  const blank: Answers = { condition: null, battery: null, supplier: null, photos: [] };
  const answers = useKept<Answers>(`bench:${bench.code}:${step.id}`, blank);
  const { problem, run } = useAct();
  const { condition, battery, supplier, photos } = answers.value;
  const old = bench.procedure.core;
  const hasBattery = old.shipping_caution !== "none";
  const isStocked = fittedPart(bench.job) !== null;
  const photograph = (picture: Blob) =>
    run(
      () => takePhoto(bench.code, "core", picture),
      (photo) => answers.change((now) => ({ photos: [...now.photos, photo] })),
    );
  const tag = async (): Promise<void> => {
    const done = await run(() => {
      if (condition === null) return refuse("answer-missing", "The condition of the old part.");
      if (hasBattery && battery === null) return refuse("answer-missing", "The state of the old battery.");
      const entry = { condition, damagedBattery: battery === "damaged", photos, supplier };
      return tagCore(bench.code, step.id, entry);
    });
    if (!done) return;
    answers.drop();
    scrollTo(0, 0);
  };
  const leave = (why: keyof typeof NO_CORE) => run(() => leaveCore(bench.code, step.id, why));
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={tag} tone="main">
          Give it a code
        </Button>
      }
    >
      {hasBattery && <Cautions cautions={cautionsOf(["battery", "shipping"])} />}
      <Choice
        label={`${old.name}, taken out`}
        options={CONDITIONS}
        value={condition}
        onChoose={(value) => answers.change({ condition: value })}
        across
      />
      {hasBattery && (
        <Choice
          label="Its battery"
          options={[
            { value: "sound" as const, name: "Looks sound" },
            { value: "damaged" as const, name: "Damaged: swollen, bent, pierced, leaking. It goes to the safe place" },
          ]}
          value={battery}
          onChoose={(value) => answers.change({ battery: value })}
        />
      )}
      {battery === "damaged" && <Cautions cautions={cautionsOf(["battery_emergency"])} />}
      {!isStocked && (
        <Choice
          label="Supplier it goes back to"
          options={(catalogue().suppliers ?? []).map((s) => ({ value: s.id, name: s.name }))}
          value={supplier}
          onChoose={(value) => answers.change({ supplier: value })}
        />
      )}
      <PhotoButton label="Photo of the old part" onPicture={photograph} />
      <PhotoStrip photos={photos} what="Old part" />
      <details class="bench-more">
        <summary>There is no old part to tag</summary>
        <div class="stack">
          {bench.stopped && <Button onPress={() => leave("in_device")}>{NO_CORE.in_device}</Button>}
          <Button onPress={() => leave("customer")}>{NO_CORE.customer}</Button>
          <Button onPress={() => leave("none")}>{NO_CORE.none}</Button>
        </div>
      </details>
    </StepPage>
  );
}

function Tagged({ bench, step, core }: Props & { readonly core: string }) {
  const { problem, answer } = useAnswer();
  const unsafe = state.value.thing.get(core)?.shipping_caution === "battery_damaged";
  return (
    <StepPage
      bench={bench}
      step={step}
      problem={problem}
      action={
        <Button onPress={() => answer(() => packCore(bench.code, step.id))} tone="main">
          {unsafe ? "Done: labelled, in the safe place" : "Done: labelled and packed"}
        </Button>
      }
    >
      <p>Code of the old part</p>
      <p class="code bench-core-code">{groupCode(core)}</p>
      <PrintButton labels={[coreLabel(core)].filter((label) => label !== null)}>Print its label</PrintButton>
      {unsafe ? (
        <>
          <p class="big">Terminals taped, into the container, lid on. No packaging, no ordinary box.</p>
          <Cautions cautions={cautionsOf(["battery_emergency"])} />
        </>
      ) : (
        <p class="soft">No printer? Write the code on the packaging by hand.</p>
      )}
    </StepPage>
  );
}
