/** Receiving parts from a supplier: what, from whom, which lot, how many; each unit gets its label. */
import { useState } from "preact/hooks";
import { wholeNumber } from "../../actions/box.ts";
import { receiveParts } from "../../actions/part.ts";
import { parseCode } from "../../codes/codes.ts";
import { readScan } from "../../codes/scanned.ts";
import { state } from "../../current.ts";
import { suppliersKnown } from "../../facts/boxes.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { batteryOf, partKinds } from "../../views/parts.ts";
import { groupCode } from "../../words/format.ts";
import { go } from "../route.ts";
import { BatteryFields, type BatteryTyped, readEnergy, typedWattHours } from "./BatteryFields.tsx";
import { ReceivedParts } from "./ReceivedParts.tsx";

export function Part({ code: given }: { readonly code: string | null }) {
  if (given === null || given === "new") return <Receive label={null} />;
  const parsed = parseCode(given);
  if (!parsed.ok || parsed.value.kind !== "P") {
    return (
      <Page title="No such part">
        <Refusal problem={parsed.ok ? { slug: "code-unreadable", detail: "This is no part label." } : parsed.problem} />
      </Page>
    );
  }
  return <Receive label={parsed.value.code} />;
}

function Receive({ label: firstLabel }: { readonly label: string | null }) {
  const [label, setLabel] = useState(firstLabel);
  const [kind, setKind] = useState<string | null>(null);
  const [name, setName] = useState("");
  const [battery, setBattery] = useState<BatteryTyped>({ caution: null, energy: "" });
  const [supplier, setSupplier] = useState<string | null>(null);
  const [lot, setLot] = useState("");
  const [camera, setCamera] = useState(false);
  const [units, setUnits] = useState("1");
  const [received, setReceived] = useState<readonly string[] | null>(null);
  const { problem, run, setProblem } = useAct();
  const [kinds, suppliers] = [partKinds(), suppliersKnown()];

  const choose = (chosen: string): void => {
    const row = kinds.find((k) => k.kind === chosen);
    setKind(chosen);
    setName(row?.name ?? "");
    if (row?.supplier != null) setSupplier(row.supplier);
    const held = batteryOf(chosen);
    setBattery({ caution: held?.shipping_caution ?? null, energy: typedWattHours(held?.energy_mwh ?? null) });
  };
  /** The supplier's own bar code is the lot; one of our part labels is the label of this unit. */
  const scanned = (text: string): void => {
    setCamera(false);
    const read = readScan(text);
    if (!read.ok || read.value.is !== "code" || read.value.kind !== "P") {
      setLot(text.trim().slice(0, 40));
    } else if (state.value.thing.get(read.value.code)?.name != null) {
      setProblem({ slug: "part-known", detail: read.value.code });
    } else {
      setLabel(read.value.code);
    }
  };
  const receive = () =>
    run(() => {
      const energy = readEnergy(battery);
      if (!energy.ok) return energy;
      const held = { shipping_caution: battery.caution, energy_mwh: energy.value };
      const part = { name, part_kind: kind ?? "", supplier: supplier ?? "", lot, ...held };
      return receiveParts(label, part, label === null ? wholeNumber(units) : 1);
    }, setReceived);
  const again = (): void => {
    setReceived(null);
    setLabel(null);
    setLot("");
    setUnits("1");
    go("part/new", "replace");
  };

  if (received !== null) return <ReceivedParts codes={received} hasLabel={label !== null} onMore={again} />;
  return (
    <>
      <Page title="Receive a part" above={label === null ? "New labels are made" : `Label ${groupCode(label)}`}>
        {(kinds.length === 0 || suppliers.length === 0) && (
          <Notice tone="plain" title={kinds.length === 0 ? "No kinds of parts yet" : "No suppliers yet"}>
            <p>
              <a href="#/shop/catalogue">A lead adds them under Shop, Catalogue.</a>
            </p>
          </Notice>
        )}
        {kinds.length > 0 && (
          <Choice
            label="Which part"
            options={kinds.map((k) => ({ value: k.kind, name: k.name }))}
            value={kind}
            onChoose={choose}
          />
        )}
        <TextField label="Name on the label" value={name} onInput={setName} maxLength={80} />
        <BatteryFields typed={battery} onChange={setBattery} />
        {suppliers.length > 0 && (
          <Choice
            label="From which supplier"
            options={suppliers.map((s) => ({ value: s.id, name: s.name }))}
            value={supplier}
            onChoose={setSupplier}
          />
        )}
        <section class="stack" aria-label="Lot">
          <TextField label="Lot, as it stands on the packaging" value={lot} onInput={setLot} maxLength={40} />
          {camera ? (
            <Scanner onFound={scanned} say="The supplier's bar code" enterWord="Take it" atOnce />
          ) : (
            <Button onPress={() => setCamera(true)}>Scan the supplier's bar code</Button>
          )}
        </section>
        {label === null && (
          <TextField
            label="How many units of this lot"
            value={units}
            onInput={setUnits}
            inputMode="numeric"
            maxLength={2}
          />
        )}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={receive} tone="main">
          Put on the shelf
        </Button>
      </Dock>
    </>
  );
}
