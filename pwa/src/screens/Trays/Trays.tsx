/** All trays, and labels for new ones. */
import { useState } from "preact/hooks";
import { makeTrays } from "../../actions/trays.ts";
import { useAct } from "../../ui/act.ts";
import { Code } from "../../ui/Code.tsx";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { type TrayLine, trays } from "../../views/trays.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";

export function Trays() {
  const [count, setCount] = useState("6");
  const [made, setMade] = useState<readonly string[]>([]);
  const { problem, run } = useAct();
  const make = () => run(() => makeTrays(/^[0-9]+$/.test(count.trim()) ? Number(count) : null), setMade);
  const all = trays();
  const labels = made.map((code) => ({ kind: "tray" as const, fields: { code }, code }));
  return (
    <>
      <Page title="Trays" above={all.length === 1 ? "One tray" : `${all.length} trays`}>
        {made.length > 0 && (
          <section class="stack" aria-labelledby="trays-new">
            <h2 id="trays-new">{made.length === 1 ? "A new tray" : `${made.length} new trays`}</h2>
            <p>Stick each label to its tray for good. It comes back with every job.</p>
            <PrintButton labels={labels}>{made.length === 1 ? "Print its label" : "Print the labels"}</PrintButton>
          </section>
        )}
        <ul class="rows">
          {all.map((tray) => (
            <li key={tray.code}>
              <a class="row-link" href={tray.job === null ? `#/trace/${tray.code}` : `#/bench/${tray.job}`}>
                <Code code={tray.code} />
                <Standing tray={tray} />
              </a>
            </li>
          ))}
        </ul>
        <TextField label="New trays" value={count} onInput={setCount} inputMode="numeric" maxLength={2} />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={make} tone="main">
          Make labels for new trays
        </Button>
      </Dock>
    </>
  );
}

function Standing({ tray }: { readonly tray: TrayLine }) {
  if (tray.clash) {
    return (
      <span class="mark warn">
        <Shape name="warn" /> Two records disagree
      </span>
    );
  }
  return (
    <span class="mark">
      <Shape name={tray.job === null ? "open" : "now"} />{" "}
      {tray.job === null ? "Free" : `Holds ${tray.model ?? "a job"}`}
    </span>
  );
}
