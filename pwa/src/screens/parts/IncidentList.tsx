/** What went wrong by us on a job; a lead settles each with what is owed. */

import { useState } from "preact/hooks";
import { settleIncident } from "../../actions/incident.ts";
import type { Owed } from "../../events/kinds.gen.ts";
import { isLead, staffName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import type { Job } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { OWED } from "../../views/incidents.ts";
import { dayTime, upper } from "../../words/format.ts";
import { pointNames } from "../../words/points.ts";
import { valueWord } from "../../words/values.ts";
import { PhotoStrip } from "./photos/PhotoStrip.tsx";

type Props = { readonly code: string; readonly job: Job };

export function IncidentList({ code, job }: Props) {
  const all = Object.entries(job.incidents);
  if (all.length === 0) return null;
  return (
    <section class="stack" aria-label="Something went wrong by us">
      <h2>Something went wrong by us</h2>
      <ul class="rows">
        {all.map(([id, incident]) => {
          const settled = job.settlements[id];
          return (
            <li class="stack" key={id}>
              <span class="mark warn">
                <Shape name="warn" />
                {upper(valueWord("incident", incident.what))}: {said(incident.where)}
              </span>
              <p>
                {incident.looked === "yes" ? "Hole and board looked at." : "Hole and board not looked at."}
                {incident.points.length > 0 && ` Does not work since: ${pointNames(incident.points)}.`}
                {incident.note !== null && ` ${said(incident.note)}`}
              </p>
              <p class="soft small">
                {staffName(incident.staff)}, {dayTime(incident.at_ms)}
              </p>
              <PhotoStrip photos={incident.photos} what="What went wrong" />
              {settled === undefined ? (
                <Open code={code} incident={id} />
              ) : (
                <p>
                  Owed: {valueWord("owed", settled.owed)}. “{said(settled.say)}”{" "}
                  <span class="soft">
                    {staffName(settled.staff)}, {dayTime(settled.at_ms)}
                  </span>
                </p>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

type OpenProps = { readonly code: string; readonly incident: string };

/** Waits for a lead; to a lead it is the form itself. */
function Open({ code, incident }: OpenProps) {
  const [owed, setOwed] = useState<Owed | null>(null);
  const [say, setSay] = useState("");
  const { problem, run } = useAct();
  if (!isLead()) return <p class="soft">A lead decides what is owed.</p>;
  const settle = () => run(() => settleIncident(code, incident, owed, say));
  return (
    <div class="card stack">
      <Choice label="What do we owe the customer?" options={OWED} value={owed} onChoose={setOwed} />
      <TextField
        label="What the customer is told"
        value={say}
        onInput={setSay}
        hint="It stands on the customer's record in these words."
        lines
        maxLength={300}
      />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={settle}>Settle it, as lead</Button>
    </div>
  );
}
