/** What a step says and shows: what to do, what can hurt, its screws, its limits. */
import "../../style/step.css";
import type { Bench } from "../../facts/work.ts";
import { hanging } from "../../rules/hanging.ts";
import { type Procedure, photosOf, type Step } from "../../rules/procedure.ts";
import { Shape } from "../../ui/Shape.tsx";
import { type Caution, caution, cautionsOf } from "../../views/cautions.ts";
import { type FastenerLine, fastenerLines } from "../../views/ledger.ts";
import { lengthMm } from "../../words/format.ts";
import { Angle, Hangs, Screw } from "./Drawings.tsx";
import { HeatOf, SolventOf } from "./HeatAndSolvent.tsx";
import { StepDrawing } from "./StepDrawing.tsx";
import { StepPhotos } from "./StepPhotos.tsx";
import { TrueScrew } from "./TrueScrew.tsx";

export function StepFace({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const lines = fastenerLines(bench.job, bench.procedure, step);
  const shownWithScrew = lines.some((l) => l.long);
  const cautions = cautionsOf(step.cautions).filter((c) => c.id !== "long_screw" || !shownWithScrew);
  const swings = step.ops.flatMap((op) => ("what" in op && op.angle_max_deg !== undefined ? [op.what] : []));
  return (
    <>
      <Sentences say={step.say} />
      {step.heat !== null && <HeatOf heat={step.heat} wait_s={step.wait_s ?? 0} />}
      {step.solvent !== null && <SolventOf solvent={step.solvent} />}
      <Cautions cautions={cautions} />
      <StepDrawing procedure={bench.procedure} step={step} />
      <StepPhotos photos={photosOf(bench.procedure, step)} />
      {hanging(bench.procedure, doneBefore(bench, step), step).map((h) =>
        swings.includes(h.what) ? <Angle key={h.what} {...h} /> : <Hangs key={h.what} {...h} />,
      )}
      {lines.length > 0 && (
        <ul class="step-screws" aria-label="Screws of this step">
          {lines.map((line) => (
            <ScrewLine key={line.fastener.id} line={line} procedure={bench.procedure} />
          ))}
        </ul>
      )}
      {step.tools.length > 0 && (
        <p class="soft">
          <strong>Tools</strong> {step.tools.join(", ")}
        </p>
      )}
    </>
  );
}

/** Steps that lie behind this one. What a stopped job has left to do begins after what it had done. */
function doneBefore(bench: Bench, step: Step): ReadonlySet<string> {
  const place = bench.steps.findIndex((s) => s.id === step.id);
  return new Set([...Object.keys(bench.job.steps), ...bench.steps.slice(0, place).map((s) => s.id)]);
}

function Sentences({ say }: { readonly say: readonly string[] }) {
  if (say.length === 0) return null;
  if (say.length === 1) return <p class="big">{say[0]}</p>;
  return (
    <ol class="step-say big">
      {say.map((sentence) => (
        <li key={sentence}>{sentence}</li>
      ))}
    </ol>
  );
}

export function Cautions({ cautions }: { readonly cautions: readonly Caution[] }) {
  if (cautions.length === 0) return null;
  return (
    <ul class="step-cautions" aria-label="Cautions">
      {cautions.map((c) => (
        <li key={c.id}>
          <Shape name={c.id === "battery_emergency" ? "stop" : "warn"} size={28} />
          <span>
            <strong>{c.name}.</strong> {c.text}
          </span>
        </li>
      ))}
    </ul>
  );
}

function ScrewLine({ line, procedure }: { readonly line: FastenerLine; readonly procedure: Procedure }) {
  const { fastener: f } = line;
  return (
    <li class="step-screw-line">
      <h2>
        {line.count} × {f.name}
      </h2>
      <div class="row apart">
        <span class="row">
          <Screw fastener={f} procedure={procedure} />
          <strong class="big">{lengthMm(f.length_um)}</strong>
        </span>
        <strong class="step-pocket">
          <Shape name={line.way === "out" ? "away" : "bench"} size={22} />
          {line.way === "out" ? `into pocket ${f.pocket}` : `from pocket ${f.pocket}`}
        </strong>
      </div>
      <TrueScrew fastener={f} />
      <p>
        {f.drive}, {f.thread}, {f.head} head
      </p>
      <p>{f.where}</p>
      {line.twins.map((twin) => (
        <p class="step-twin" key={twin.id}>
          <Shape name="warn" size={24} />
          <span>
            Looks like <strong>{twin.name}</strong>, pocket {twin.pocket}: here {lengthMm(f.length_um)}, there{" "}
            {lengthMm(twin.length_um)}. Keep them apart.
          </span>
        </p>
      ))}
      {line.longer !== null && (
        <p class="step-twin">
          <Shape name="warn" size={24} />
          <span>
            <strong>Only the short one here, {lengthMm(f.length_um)}.</strong> The one of{" "}
            {lengthMm(line.longer.length_um)} from pocket {line.longer.pocket}{" "}
            {line.longer.caution === "long_screw" ? "goes through the board." : "is too long here."}
          </span>
        </p>
      )}
      {line.long && (
        <p class="step-twin">
          <Shape name="warn" size={24} />
          <span>
            <strong>
              {caution("long_screw").name}: {f.name}, {lengthMm(f.length_um)}.
            </strong>{" "}
            {caution("long_screw").text}
          </span>
        </p>
      )}
    </li>
  );
}
