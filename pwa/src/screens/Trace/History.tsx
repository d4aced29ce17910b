/** The whole history, oldest first: what, who, when, where it is kept. */
import { staffName, stationName } from "../../facts/people.ts";
import { problemText } from "../../problem.ts";
import { Notice } from "../../ui/Notice.tsx";
import type { Line, SetAside } from "../../views/trace.ts";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { SavedMark } from "../parts/SavedMark.tsx";
import { SetAsideList } from "../parts/SetAsideList.tsx";
import { whenWords } from "../parts/when.ts";

export function History({ lines, aside }: { readonly lines: readonly Line[]; readonly aside: readonly SetAside[] }) {
  return (
    <section class="stack" aria-labelledby="history">
      <h2 id="history">What happened</h2>
      {lines.length === 0 && <p class="soft">Nothing yet.</p>}
      <ol class="trace-history">
        {lines.map((line) => (
          <Entry line={line} key={line.id} />
        ))}
      </ol>
      {aside.length > 0 && (
        <Notice tone="warn" title="Set aside by the server">
          <p>These entries name this label but could not be read. They have no effect; a lead finds them under Sync.</p>
          <SetAsideList rows={aside} />
        </Notice>
      )}
    </section>
  );
}

function Entry({ line }: { readonly line: Line }) {
  return (
    <li class={line.newer ? "newer" : ""}>
      <p class="trace-sentence">{line.text}</p>
      {line.remarks.map((remark) => (
        <p key={remark}>“{remark}”</p>
      ))}
      <PhotoStrip photos={line.photos} what="Collector's paper" />
      {line.findings.map((slug) => (
        <p class="mark warn" key={slug}>
          Noticed: {problemText({ slug }).title}
        </p>
      ))}
      <p class="soft small trace-by">
        <span>
          {staffName(line.staff)}, {whenWords(line.at_ms)}
        </span>
        <span>{stationName(line.station)}</span>
        <SavedMark mark={line.mark} />
      </p>
    </li>
  );
}
