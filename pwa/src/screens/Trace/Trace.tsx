/** Everything about a labelled thing: what it is, where it is, and what happened to it, in order. */
import "../../style/trace.css";
import { parseCode } from "../../codes/codes.ts";
import { state } from "../../current.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { placeOfCode } from "../../facts/things.ts";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { KIND_WORDS } from "../../views/history.ts";
import { readTrace, setAside, whereIs } from "../../views/trace.ts";
import { purposeName } from "../../words/boxes.ts";
import { groupCode } from "../../words/format.ts";
import { ClashNotice } from "../parts/ClashList.tsx";
import { Findings } from "../parts/Findings.tsx";
import { History } from "./History.tsx";
import { JudgeUnit } from "./JudgeUnit.tsx";
import { SetCaution } from "./SetCaution.tsx";
import { ThingFacts } from "./ThingFacts.tsx";

export function Trace({ code: given }: { readonly code: string }) {
  const parsed = parseCode(given);
  if (!parsed.ok || parsed.value.kind === "W") {
    return (
      <Page title="No such label">
        <Refusal problem={parsed.ok ? { slug: "code-unreadable" } : parsed.problem}>
          <a class="button" href="#/scan">
            Scan again
          </a>
        </Refusal>
      </Page>
    );
  }
  return <TraceOf code={parsed.value.code} />;
}

function TraceOf({ code }: { readonly code: string }) {
  const { value: lines, problem } = useLoaded(() => readTrace(code), [code, state.value]);
  const { value: aside, problem: asideProblem } = useLoaded(() => setAside(code), [code]);
  const unread = problem ?? asideProblem;
  const thing = state.value.thing.get(code);
  const job = state.value.job.get(code);
  const box = state.value.box.get(code);
  const boxName = box === undefined ? null : `${supplierName(box.supplier)}: ${purposeName(box.purpose)}`;
  const known = thing !== undefined || job !== undefined || box !== undefined;
  const kind = KIND_WORDS[code.charAt(0)] ?? "Thing";
  if (!known && lines !== undefined && lines.length === 0) {
    return (
      <Page title={`${kind} ${groupCode(code)}`} above="Trace">
        <Refusal problem={{ slug: "code-unknown" }}>
          <a class="button" href="#/scan">
            Scan again
          </a>
        </Refusal>
      </Page>
    );
  }
  return (
    <Page title={thing?.name ?? job?.model ?? boxName ?? kind} above={`${kind} ${groupCode(code)}`}>
      <ClashNotice code={code} />
      {placeOfCode(code).kind !== "clash" && (
        <section class="trace-where" aria-label="Where it is now">
          {whereOwn(code).map((line, index) => (
            <p key={`${index}${line}`} class={index === 0 ? "big" : ""}>
              {line}
            </p>
          ))}
        </section>
      )}
      <Findings findings={[thing, job, box].flatMap((r) => r?.findings ?? [])} />
      <JudgeUnit code={code} />
      <ThingFacts code={code} />
      {thing?.shipping_caution != null && <SetCaution code={code} now={thing.shipping_caution} />}
      {unread !== null && <Refusal problem={unread} answers={null} />}
      {lines !== undefined && <History lines={lines} aside={aside ?? []} />}
      {thing !== undefined && placeOfCode(code).kind !== "clash" && (
        <a class="button plain" href={`#/clash/${code}`}>
          It is somewhere else: correct it
        </a>
      )}
    </Page>
  );
}

/** Where a thing is; of a box without its name, which is the heading. */
const whereOwn = (code: string): readonly string[] => whereIs(code).slice(code.startsWith("B") ? 1 : 0);
