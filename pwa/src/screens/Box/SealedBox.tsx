/** A sealed box: its papers, and the moment it leaves. */
import { useState } from "preact/hooks";
import { shipBox } from "../../actions/box.ts";
import { piecesOf, sealDrift } from "../../facts/boxes.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { staffName } from "../../facts/people.ts";
import type { Box } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { thingName } from "../../views/history.ts";
import { purposeName } from "../../words/boxes.ts";
import { dayTime, groupCode } from "../../words/format.ts";
import { Findings } from "../parts/Findings.tsx";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { go } from "../route.ts";
import { boxLabel } from "./boxLabel.ts";
import { Contents } from "./Contents.tsx";
import { Batteries } from "./ShippingCaution.tsx";

type Props = { readonly code: string; readonly box: Box; readonly sealed: NonNullable<Box["sealed"]> };

export function SealedBox({ code, box, sealed }: Props) {
  const [reference, setReference] = useState("");
  const { problem, run } = useAct();
  const pieces = piecesOf(code);
  const left = box.shipped;
  const ship = () => run(() => shipBox(code, reference));
  return (
    <>
      <Page title={left === null ? "Sealed" : "Handed to the shipper"} above={`Box ${groupCode(code)}`}>
        <dl class="facts">
          <dt>For</dt>
          <dd>
            {supplierName(box.supplier)}, {purposeName(box.purpose)}
          </dd>
          <dt>Inside</dt>
          <dd>
            {sealed.count} {sealed.count === 1 ? "piece" : "pieces"}, {sealed.weight_g} g
          </dd>
          <dt>Sealed</dt>
          <dd>
            {dayTime(sealed.at_ms)}, {staffName(sealed.staff)}
          </dd>
          {left !== null && <dt>Left</dt>}
          {left !== null && (
            <dd>
              {dayTime(left.at_ms)}, {staffName(left.staff)}
              {left.reference !== null && `, reference ${left.reference}`}
            </dd>
          )}
        </dl>
        <Drift code={code} />
        <Findings findings={box.findings} />
        <div class="buttons">
          <PrintButton labels={[boxLabel(code)]}>Print the box label</PrintButton>
          <a class="button" href={`#/box/${code}/manifest`}>
            Manifest
          </a>
        </div>
        {left === null && (
          <TextField
            label="The shipper's reference, if there is one"
            value={reference}
            onInput={setReference}
            maxLength={80}
            hint="From the shipper's slip; it stands on the record of every piece."
          />
        )}
        {problem !== null && <Refusal problem={problem} />}
        <Batteries pieces={pieces} purpose={box.purpose} />
        <Contents box={code} pieces={pieces} fixed />
        <a class="button plain" href={`#/trace/${code}`}>
          Everything about this box
        </a>
      </Page>
      {left === null && (
        <Dock>
          <Button onPress={() => go("boxes")} tone="aside">
            Boxes
          </Button>
          <Button onPress={ship} tone="main">
            Handed to the shipper
          </Button>
        </Dock>
      )}
    </>
  );
}

/** The sealing named other pieces than are booked in now: another station scanned meanwhile, or a clash was settled. */
function Drift({ code }: { readonly code: string }) {
  const { gone, extra } = sealDrift(code);
  if (gone.length + extra.length === 0) return null;
  return (
    <Notice tone="warn" title="The record of this box changed after sealing">
      {gone.length > 0 && <p>Counted at sealing, elsewhere by now: {gone.map(thingName).join("; ")}.</p>}
      {extra.length > 0 && <p>Booked in besides: {extra.map(thingName).join("; ")}.</p>}
      <p>Open the box and look, or correct the place on the trace of the piece.</p>
    </Notice>
  );
}
