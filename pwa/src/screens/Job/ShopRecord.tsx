/** What the long form has beside the short one: ledger, tries, static checks, and every entry with who and when. */
import { state } from "../../current.ts";
import { staffName } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { type RecordPart, shopParts } from "../../views/shopRecord.ts";
import { readJobChecks } from "../../views/staticChecks.ts";
import { readTrace } from "../../views/trace.ts";
import { whenWords } from "../parts/when.ts";

export function ShopRecord({ code, job }: { readonly code: string; readonly job: Job }) {
  const checks = useLoaded(() => readJobChecks(code), [code, state.value]);
  const entries = useLoaded(() => readTrace(code), [code, state.value]);
  return (
    <>
      {shopParts(job).map((part) => (
        <Part key={part.title} part={part} />
      ))}
      {checks.problem !== null && <Refusal problem={checks.problem} />}
      {checks.value !== undefined && checks.value.length > 0 && (
        <section class="record-lines" aria-label="Static checks">
          <h2>Static checks</h2>
          {checks.value.map((line) => (
            <p key={`${line.about} ${line.says}`} class={`record-check mark ${line.tone}`}>
              <Shape name={CHECK_SHAPES[line.tone]} size={20} />
              <span>
                {line.about}: {line.says}
              </span>
            </p>
          ))}
        </section>
      )}
      {entries.problem !== null && <Refusal problem={entries.problem} />}
      {entries.value === undefined ? (
        entries.problem === null && <p class="soft">The entries are being read.</p>
      ) : (
        <section class="record-lines" aria-label="Every entry">
          <h2>Every entry</h2>
          <ol class="record-entries">
            {entries.value.map((entry) => (
              <li key={entry.id}>
                <span class="soft">
                  {whenWords(entry.at_ms)}, {staffName(entry.staff)}
                </span>
                <span>{[entry.text, ...entry.remarks.map((said) => `“${said}”`)].join(" ")}</span>
              </li>
            ))}
          </ol>
        </section>
      )}
    </>
  );
}

const CHECK_SHAPES = { good: "done", warn: "warn", stop: "stop" } as const;

function Part({ part }: { readonly part: RecordPart }) {
  return (
    <section class="record-lines" aria-label={part.title}>
      <h2>{part.title}</h2>
      {part.facts.length > 0 && (
        <dl class="record-facts">
          {part.facts.map(([name, said]) => (
            <div key={`${name} ${said}`}>
              <dt>{name}</dt>
              <dd>{said}</dd>
            </div>
          ))}
        </dl>
      )}
      {part.lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </section>
  );
}
