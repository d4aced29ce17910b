/** The ledger: one line that is always in sight, and the whole of it with the entry for what was lost. */

import { useState } from "preact/hooks";
import { enterLoss } from "../../actions/ledger.ts";
import type { Loss } from "../../events/kinds.gen.ts";
import { said } from "../../facts/texts.ts";
import type { Bench } from "../../facts/work.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { type GroupLine, groupLines, trayText } from "../../views/ledger.ts";
import { lengthMm } from "../../words/format.ts";
import { choicesOf } from "../../words/values.ts";

export const LEDGER_ID = "bench-ledger";

export function LedgerLine({ bench, onOpen }: { readonly bench: Bench; readonly onOpen: () => void }) {
  return (
    <button type="button" class="bench-ledger-line" onClick={onOpen}>
      {trayText(bench.job, bench.procedure)}
    </button>
  );
}

export function LedgerPanel({ bench }: { readonly bench: Bench }) {
  const [entering, setEntering] = useState(false);
  const lines = groupLines(bench.job, bench.procedure);
  return (
    <section class="card" id={LEDGER_ID} aria-labelledby="bench-ledger-name" tabIndex={-1}>
      <h2 id="bench-ledger-name">Ledger</h2>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Pocket</th>
              <th scope="col">Group</th>
              <th scope="col">Where</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.fastener.id}>
                <td>
                  <strong>{line.fastener.pocket}</strong>
                </td>
                <td>
                  {line.fastener.count} × {line.fastener.name}, {lengthMm(line.fastener.length_um)}
                </td>
                <td>
                  <strong>{whereText(line)}</strong>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {bench.job.losses.length > 0 && (
        <ul class="rows" aria-label="Lost or damaged">
          {bench.job.losses.map((loss) => (
            <li key={loss.event}>
              {loss.count} × {bench.procedure.fasteners.find((f) => f.id === loss.group)?.name ?? loss.group}{" "}
              {loss.what}: {said(loss.why)}.{" "}
              {loss.replaced > 0
                ? `${loss.replaced} replaced${loss.replaced_by === null ? "" : ` by ${loss.replaced_by}`}.`
                : "Not replaced."}
            </li>
          ))}
        </ul>
      )}
      {entering ? (
        <LossForm bench={bench} lines={lines} onClose={() => setEntering(false)} />
      ) : (
        <Button onPress={() => setEntering(true)}>Lost, stripped or broken</Button>
      )}
    </section>
  );
}

function whereText(line: GroupLine): string {
  const lost = line.lost > 0 ? `, ${line.lost} lost or damaged, ${line.replaced} replaced` : "";
  if (line.tray > 0) return `${line.tray} in the tray${lost}`;
  return `in the device${lost}`;
}

type FormProps = { readonly bench: Bench; readonly lines: readonly GroupLine[]; readonly onClose: () => void };

function LossForm({ bench, lines, onClose }: FormProps) {
  const held = lines.filter((l) => l.touched);
  const [group, setGroup] = useState<string | null>(held.length === 1 ? (held[0]?.fastener.id ?? null) : null);
  const [what, setWhat] = useState<Loss | null>(null);
  const [count, setCount] = useState(1);
  const [replaced, setReplaced] = useState(0);
  const [why, setWhy] = useState("");
  const [replacedBy, setReplacedBy] = useState("");
  const { problem, run } = useAct();
  const enter = () =>
    run(() => {
      if (group === null) return refuse("answer-missing", "Which fasteners.");
      if (what === null) return refuse("answer-missing", "Lost, stripped or broken.");
      return enterLoss(bench.code, { group, count, what, why, replaced, replacedBy });
    }, onClose);
  if (held.length === 0) return <p class="soft">Nothing was taken out yet.</p>;
  return (
    <div class="stack">
      <Choice
        label="Which"
        options={held.map((l) => ({ value: l.fastener.id, name: l.fastener.name }))}
        value={group}
        onChoose={setGroup}
      />
      <Choice label="What happened" options={choicesOf("loss")} value={what} onChoose={setWhat} across />
      <Count label="How many" value={count} least={1} onChange={setCount} />
      <TextField label="Why" value={why} onInput={setWhy} />
      <Count label="Replaced, how many" value={replaced} least={0} onChange={setReplaced} />
      {replaced > 0 && (
        <TextField
          label="Replaced by"
          value={replacedBy}
          onInput={setReplacedBy}
          maxLength={120}
          hint="For example: same screw from stock"
        />
      )}
      {problem !== null && <Refusal problem={problem} />}
      <div class="row">
        <Button onPress={enter}>Enter it</Button>
        <Button onPress={onClose} tone="plain">
          Leave it
        </Button>
      </div>
    </div>
  );
}

type CountProps = {
  readonly label: string;
  readonly value: number;
  readonly least: number;
  readonly most?: number;
  readonly onChange: (value: number) => void;
};

export function Count({ label, value, least, most = 99, onChange }: CountProps) {
  return (
    <fieldset class="bench-count" aria-label={label}>
      <span>{label}</span>
      <button
        type="button"
        class="button"
        aria-label={`${label}: one less`}
        disabled={value <= least}
        onClick={() => onChange(value - 1)}
      >
        −
      </button>
      <output class="big" aria-live="polite">
        {value}
      </output>
      <button
        type="button"
        class="button"
        aria-label={`${label}: one more`}
        disabled={value >= most}
        onClick={() => onChange(value + 1)}
      >
        +
      </button>
    </fieldset>
  );
}
