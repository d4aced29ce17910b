/** What was found on a job: why it stopped, liquid, battery, what fails, what was lost, what was lifted, which rules were broken. */

import type { ComponentChildren } from "preact";
import { consents } from "../../facts/agreement.ts";
import { staffName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import type { Job } from "../../fold/state.ts";
import { isSlug } from "../../problem.ts";
import { isUnsafeState } from "../../rules/cell.ts";
import { isBookedShort } from "../../rules/handOver.ts";
import { isWet } from "../../rules/wet.ts";
import { problems } from "../../tables.ts";
import { Shape, type ShapeName } from "../../ui/Shape.tsx";
import { failing } from "../../views/comparison.ts";
import { lossWords, safetyWords } from "../../views/recordFound.ts";
import { dayTime, lower, upper } from "../../words/format.ts";
import { stopName } from "../../words/told.ts";
import { valueWord } from "../../words/values.ts";
import { Readings } from "../parts/ColourAdvice.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";

export function Found({ job }: { readonly job: Job }) {
  const fails = failing(job);
  const asTaken = fails.filter((row) => row.verdict === "open");
  const since = fails.filter((row) => row.verdict !== "open");
  const refused = consents().filter((c) => job.booked && !isBookedShort(job) && !job.consents.includes(c.slug));
  const seen = job.safety.flatMap((check) => safetyWords(check).map((says) => ({ check, says })));
  const badBattery = job.power.filter((p) => p.battery !== "sound");
  const nothing =
    job.stop === null &&
    job.liquid.length +
      job.readings.length +
      badBattery.length +
      fails.length +
      job.losses.length +
      job.lifts.length +
      job.findings.length +
      refused.length +
      seen.length ===
      0;
  if (nothing) return <p class="soft">Nothing was found so far.</p>;
  return (
    <ul class="rows">
      {job.stop !== null && (
        <Item shape="stop" tone="stop" title={`Stopped: ${lower(stopName(job.stop.reason))}`}>
          <By at={job.stop} />
        </Item>
      )}
      {seen.map(({ check, says }) => (
        <Item key={`${check.event} ${says}`} shape="stop" tone="stop" title={says}>
          <By at={check} />
          <PhotoStrip photos={check.photos} what="What was seen" />
        </Item>
      ))}
      {job.liquid.map((check) => {
        const wet = isWet(check);
        return (
          <Item
            key={check.event}
            shape={wet ? "stop" : "done"}
            tone={wet ? "stop" : "good"}
            title={wet ? "Signs of liquid" : "No sign of liquid"}
          >
            <p>
              Indicator {valueWord("indicator", check.indicator)}
              {check.signs.length > 0 && `; ${check.signs.join(", ")}`}
              {check.note !== null && `. ${said(check.note)}`}
            </p>
            <PhotoStrip photos={check.photos} what="Liquid check" />
          </Item>
        );
      })}
      <Readings job={job} />
      {isUnsafeState(job.cell) && badBattery.every((check) => check.battery !== job.cell) && (
        <Item shape="stop" tone="stop" title={`Battery ${job.cell}`} />
      )}
      {badBattery.map((check) => (
        <Item key={check.event} shape="stop" tone="stop" title={`Battery ${check.battery}`}>
          <PhotoStrip photos={check.photos} what="Battery" />
        </Item>
      ))}
      {asTaken.length > 0 && (
        <Item shape="stop" tone="stop" title={`Failed at intake: ${asTaken.length}`}>
          <p>{asTaken.map((row) => row.name).join(", ")}. Not tested since.</p>
        </Item>
      )}
      {since.map((row) => (
        <Item key={row.point} shape="stop" tone="stop" title={`${row.name} fails`}>
          <p>
            {row.says.name}. {row.says.say}
          </p>
        </Item>
      ))}
      {job.losses.map((loss) => (
        <Item key={loss.event} shape="warn" tone="warn" title={lossWords(job, loss)}>
          <p>{said(loss.why)}</p>
        </Item>
      ))}
      {job.lifts.map((lift) => (
        <Item key={lift.event} shape="warn" tone="warn" title="A lead lifted a stop">
          <p>
            {upper(valueWord("lift_plan", lift.plan))}: {said(lift.why)}
          </p>
          <By at={lift} />
        </Item>
      ))}
      {job.findings.map((finding) => (
        <Item
          key={`${finding.event} ${finding.slug}`}
          shape="warn"
          tone="warn"
          title={isSlug(finding.slug) ? problems[finding.slug].title : finding.slug}
        >
          <p class="soft">Entry {finding.event}</p>
        </Item>
      ))}
      {refused.map((consent) => (
        <Item key={consent.slug} shape="warn" tone="warn" title={`Not agreed: ${lower(consent.title)}`} />
      ))}
    </ul>
  );
}

function By({ at }: { readonly at: { readonly staff: string | null; readonly at_ms: number } }) {
  return (
    <p class="soft">
      {staffName(at.staff)}, {dayTime(at.at_ms)}
    </p>
  );
}

type ItemProps = {
  readonly shape: ShapeName;
  readonly tone: string;
  readonly title: string;
  readonly children?: ComponentChildren;
};

function Item({ shape, tone, title, children }: ItemProps) {
  return (
    <li class="stack">
      <span class={`mark ${tone}`}>
        <Shape name={shape} />
        {title}
      </span>
      {children}
    </li>
  );
}
