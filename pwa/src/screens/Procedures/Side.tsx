/** Beside the form: what the check finds, what the bench will show, what differs from another revision. */

import { canWalk, type FaultLine, type Place } from "../../facts/procedureDraft.ts";
import type { Procedure } from "../../rules/procedure.ts";
import { Notice } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { Differences } from "./Differences.tsx";
import { Preview } from "./Preview.tsx";

export type SideView = "check" | "preview" | "differences";

type Props = {
  readonly view: SideView;
  readonly onView: (view: SideView) => void;
  readonly procedure: Procedure;
  readonly place: Place;
  readonly faults: readonly FaultLine[];
  readonly onGo: (place: Place) => void;
  readonly base: number;
};

const VIEWS: readonly { readonly view: SideView; readonly name: string }[] = [
  { view: "check", name: "Check" },
  { view: "preview", name: "At the bench" },
  { view: "differences", name: "Differences" },
];

export function Side(props: Props) {
  const { view, onView, procedure, place, faults, base } = props;
  return (
    <aside class="stack" aria-label="Check, preview and differences">
      <fieldset class="proc-tabs" aria-label="What to show here">
        {VIEWS.map((each) => (
          <button
            key={each.view}
            type="button"
            class="button"
            aria-pressed={each.view === view}
            onClick={() => onView(each.view)}
          >
            {each.name}
          </button>
        ))}
      </fieldset>
      {view === "check" && <Check {...props} />}
      {view === "preview" &&
        (canWalk(faults) ? (
          <Preview procedure={procedure} place={place} />
        ) : (
          <Notice tone="warn" title="It cannot be walked through yet">
            <p>Fill in what the check lists first.</p>
          </Notice>
        ))}
      {view === "differences" && <Differences procedure={procedure} base={base} />}
    </aside>
  );
}

function Check({ faults, onGo }: Props) {
  if (faults.length === 0) {
    return (
      <Notice tone="good" title="Sound">
        <p>
          Every fastener and connector comes back, power is off before anything else is unplugged, the gates are in
          place. Whether the words are right only you can tell.
        </p>
      </Notice>
    );
  }
  return (
    <ul class="proc-faults" aria-label="Faults">
      {faults.map((fault) => (
        <li key={`${fault.slug} ${fault.where} ${fault.detail}`}>
          <button type="button" class="proc-fault" onClick={() => onGo(fault.place)}>
            <Shape name="warn" />
            <span>
              <span class="soft small">{fault.where}</span>
              <strong>{fault.title}</strong>
              {fault.detail !== "" && <span>{fault.detail}</span>}
              {fault.next !== "" && <span class="small">{fault.next}</span>}
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}
