/** A new box: for whom, and for what. A label that was made beforehand keeps its code. */
import { useState } from "preact/hooks";
import { openBox } from "../../actions/box.ts";
import type { Purpose } from "../../events/kinds.gen.ts";
import { openBoxFor, suppliersKnown } from "../../facts/boxes.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { choicesOf } from "../../words/values.ts";
import { go } from "../route.ts";
import { ShippingCaution } from "./ShippingCaution.tsx";

export function NewBox({ code }: { readonly code: string | null }) {
  const [supplier, setSupplier] = useState<string | null>(null);
  const [purpose, setPurpose] = useState<Purpose | null>(null);
  const { problem, run } = useAct();
  const suppliers = suppliersKnown();
  const already = supplier !== null && purpose !== null ? openBoxFor(supplier, purpose) : null;
  const open = () =>
    run(
      () => {
        if (supplier === null) return refuse("field-missing", "Choose the supplier.");
        if (purpose === null) return refuse("field-missing", "Choose what the box is for.");
        return openBox(code, supplier, purpose);
      },
      (opened) => go(`box/${opened}`, "replace"),
    );
  return (
    <>
      <Page title="Open a box" above={code === null ? "A new label is made" : `Label ${groupCode(code)}`}>
        <p>One box goes to one supplier for one purpose.</p>
        {suppliers.length === 0 && (
          <Notice tone="plain" title="No suppliers yet">
            <p>
              <a href="#/shop/catalogue">A lead adds them under Shop, Catalogue.</a>
            </p>
          </Notice>
        )}
        {suppliers.length > 0 && (
          <Choice
            label="Supplier"
            options={suppliers.map((s) => ({ value: s.id, name: s.name }))}
            value={supplier}
            onChoose={setSupplier}
          />
        )}
        <Choice label="What for" options={choicesOf("purpose")} value={purpose} onChoose={setPurpose} />
        {purpose === "battery" && <ShippingCaution />}
        {already !== null && (
          <p>
            <a href={`#/box/${already}`}>Box {groupCode(already)}</a> is open for the same already.
          </p>
        )}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={open} tone="main">
          Open this box
        </Button>
      </Dock>
    </>
  );
}
