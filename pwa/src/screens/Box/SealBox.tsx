/** Sealing: the person counts and weighs; the box is sealed only when the count is that of the box. */
import { useState } from "preact/hooks";
import { sealBox, wholeNumber } from "../../actions/box.ts";
import { piecesOf } from "../../facts/boxes.ts";
import { supplierName } from "../../facts/catalogue.ts";
import type { Box } from "../../fold/state.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { purposeName } from "../../words/boxes.ts";
import { groupCode } from "../../words/format.ts";
import { ClashLink } from "../parts/ClashList.tsx";
import { go } from "../route.ts";
import { Batteries } from "./ShippingCaution.tsx";

export function SealBox({ code, box }: { readonly code: string; readonly box: Box }) {
  const [count, setCount] = useState("");
  const [weight, setWeight] = useState("");
  const { problem, run } = useAct();
  const pieces = piecesOf(code);
  const clashing = pieces.filter((p) => p.clash);
  const seal = () =>
    run(
      () => sealBox(code, wholeNumber(count), wholeNumber(weight)),
      () => go(`box/${code}`, "replace"),
    );
  return (
    <>
      <Page
        title="Count and seal"
        above={`Box ${groupCode(code)}, ${supplierName(box.supplier)}, ${purposeName(box.purpose)}`}
      >
        <p>Count what really lies in the box. Close it, put it on the scale.</p>
        <TextField label="Pieces you counted" value={count} onInput={setCount} inputMode="numeric" maxLength={5} />
        <TextField label="Weight in grams" value={weight} onInput={setWeight} inputMode="numeric" maxLength={7} />
        {problem !== null && <Refusal problem={problem} />}
        {clashing.length > 0 && (
          <section class="stack" aria-labelledby="seal-clash">
            <h2 id="seal-clash">To be settled first</h2>
            <ul class="rows">
              {clashing.map((p) => (
                <li key={p.code} class="with-button">
                  <span>
                    {p.thing.name ?? "Part"} <span class="code">{groupCode(p.code)}</span>
                  </span>
                  <ClashLink code={p.code} />
                </li>
              ))}
            </ul>
          </section>
        )}
        <Batteries pieces={pieces} purpose={box.purpose} />
      </Page>
      <Dock>
        <Button onPress={() => go(`box/${code}`)} tone="aside">
          Back
        </Button>
        <Button onPress={seal} tone="main">
          Seal this box
        </Button>
      </Dock>
    </>
  );
}
