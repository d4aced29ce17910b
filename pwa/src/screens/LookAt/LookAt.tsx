/** For a lead: what broke a rule, and what came late. Nothing of it is put away until it was looked at. */
import { findingsSeen, lateSeen } from "../../actions/seen.ts";
import { isLead, staffName } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { type Finding, type Late, lateEntries, unseenFindings } from "../../views/toLookAt.ts";
import { groupCode } from "../../words/format.ts";
import { whenWords } from "../parts/when.ts";

export function LookAt() {
  const findings = unseenFindings();
  const late = lateEntries();
  return (
    <Page title="To look at" {...(isLead() ? {} : { above: "A lead looks at these" })}>
      {findings.length + late.length === 0 && <p class="big">Nothing waits.</p>}
      {findings.length > 0 && (
        <section class="stack" aria-labelledby="findings">
          <h2 id="findings">Rules that were broken</h2>
          <ul class="stack">
            {findings.map((finding) => (
              <FindingRow key={finding.code} {...finding} />
            ))}
          </ul>
        </section>
      )}
      {late.length > 0 && (
        <section class="stack" aria-labelledby="late">
          <h2 id="late">Came late, about something put away</h2>
          <ul class="stack">
            {late.map((entry) => (
              <LateRow key={entry.id} {...entry} />
            ))}
          </ul>
        </section>
      )}
    </Page>
  );
}

function FindingRow({ code, name, count, titles }: Finding) {
  const { problem, busy, run } = useAct();
  return (
    <li class="card stack">
      <strong>{name}</strong>
      {titles.map((title) => (
        <p key={title}>{title}</p>
      ))}
      <div class="row">
        <a class="button" href={hrefOf(code)}>
          Open
        </a>
        {isLead() && (
          <Button onPress={() => run(() => findingsSeen(code, count))} disabled={busy}>
            Looked at
          </Button>
        )}
      </div>
      {problem !== null && <Refusal problem={problem} />}
    </li>
  );
}

function LateRow({ id, chain, code, staff, at_ms }: Late) {
  const { problem, busy, run } = useAct();
  return (
    <li class="card stack">
      <strong>{groupCode(code)}</strong>
      <p>
        An entry of {staffName(staff)}, {whenWords(at_ms)}, arrived after this was put away. It is in its history.
      </p>
      <div class="row">
        <a class="button" href={hrefOf(code)}>
          Open
        </a>
        {isLead() && (
          <Button onPress={() => run(() => lateSeen(id, chain))} disabled={busy}>
            Looked at
          </Button>
        )}
      </div>
      {problem !== null && <Refusal problem={problem} />}
    </li>
  );
}

const hrefOf = (code: string): string => `#/${code.startsWith("J") ? "job" : "trace"}/${code}`;
