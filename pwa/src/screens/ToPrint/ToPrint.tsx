/** Labels that could not be printed yet. */
import { useState } from "preact/hooks";
import { DPI_CHOICES, forgetToPrint, type Label, labelDpi, setLabelDpi, waitingLabels } from "../../actions/print.ts";
import { ok } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Code } from "../../ui/Code.tsx";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { labelName } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";

export function ToPrint() {
  const [turn, setTurn] = useState(0);
  const { value: labels, problem: unread } = useLoaded(waitingLabels, [turn]);
  const { value: dpi } = useLoaded(labelDpi, [turn]);
  const { problem, run } = useAct();
  const again = () => setTurn(turn + 1);
  const forget = (label: Label) => run(async () => ok(await forgetToPrint([label])), again);
  const choose = (chosen: string) => run(async () => ok(await setLabelDpi(Number(chosen))), again);
  const wrong = problem ?? unread;
  return (
    <Page title="To print">
      {wrong !== null && <Refusal problem={wrong} />}
      {labels?.length === 0 && <p>Nothing waits for the printer.</p>}
      {labels !== undefined && labels.length > 0 && (
        <ul class="rows" aria-label="Labels that wait">
          {labels.map((label) => (
            <li class="stack" key={`${label.kind}:${label.code}`}>
              <div class="row apart">
                <strong>{labelName(label.kind)}</strong>
                <Code code={label.code} />
              </div>
              <PrintButton labels={[label]} onDone={again}>
                Print it
              </PrintButton>
              <Button onPress={() => forget(label)} tone="plain">
                It is not needed any more
              </Button>
            </li>
          ))}
        </ul>
      )}
      {dpi !== undefined && (
        <Choice
          label="Dots per inch of this station's label printer"
          options={DPI_CHOICES.map((d) => ({ value: String(d), name: String(d) }))}
          value={String(dpi)}
          onChoose={choose}
          across
        />
      )}
    </Page>
  );
}
