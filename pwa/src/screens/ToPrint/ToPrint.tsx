/** Labels that could not be printed yet. */
import { useState } from "preact/hooks";
import { DPI_CHOICES, forgetToPrint, type Label, labelDpi, setLabelDpi, waitingLabels } from "../../actions/print.ts";
import { Code } from "../../ui/Code.tsx";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Page } from "../../ui/Page.tsx";
import { labelName } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";

export function ToPrint() {
  const [turn, setTurn] = useState(0);
  const labels = useLoaded(waitingLabels, [turn]);
  const dpi = useLoaded(labelDpi, [turn]);
  const again = () => setTurn(turn + 1);
  const forget = async (label: Label): Promise<void> => {
    await forgetToPrint([label]);
    again();
  };
  return (
    <Page title="To print">
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
              <Button onPress={() => void forget(label)} tone="plain">
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
          onChoose={(value) => void setLabelDpi(Number(value)).then(again)}
          across
        />
      )}
    </Page>
  );
}
