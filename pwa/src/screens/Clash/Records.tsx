/** The last records about a thing's place, side by side: where, who, when, from which station. */

import { staffName, stationName } from "../../facts/people.ts";
import { said } from "../../facts/texts.ts";
import type { Head } from "../../fold/state.ts";
import { type Line, placeWords } from "../../views/trace.ts";
import { dayTime } from "../../words/format.ts";
import { SavedMark } from "../parts/SavedMark.tsx";

type Props = { readonly heads: Readonly<Record<string, Head>>; readonly lines: readonly Line[] };

export function Records({ heads, lines }: Props) {
  const all = Object.entries(heads);
  return (
    <ol class="cards" aria-label="Records">
      {all.map(([id, head]) => {
        const line = lines.find((l) => l.id === id);
        return (
          <li class="card" key={id}>
            <h2>{placeWords(head.to)}</h2>
            <dl class="facts">
              <dt>Said by</dt>
              <dd>{staffName(head.staff)}</dd>
              <dt>When</dt>
              <dd>{dayTime(head.at_ms)}</dd>
              <dt>Station</dt>
              <dd>{line === undefined ? "" : stationName(line.station)}</dd>
              {head.why !== null && <dt>Reason</dt>}
              {head.why !== null && <dd>{said(head.why)}</dd>}
            </dl>
            {line !== undefined && <SavedMark mark={line.mark} />}
          </li>
        );
      })}
    </ol>
  );
}
