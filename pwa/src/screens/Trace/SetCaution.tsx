/** A lead says otherwise what a part or an old part is, battery-wise: such as a cell that a licensed shipper found sound. */
import { useState } from "preact/hooks";
import { setCaution } from "../../actions/part.ts";
import type { ShippingCaution } from "../../events/kinds.gen.ts";
import { isLead } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { choicesOf } from "../../words/values.ts";

type Props = { readonly code: string; readonly now: ShippingCaution };

export function SetCaution({ code, now }: Props) {
  const [isOpen, setOpen] = useState(false);
  const [chosen, setChosen] = useState(now);
  const [why, setWhy] = useState("");
  const { problem, run } = useAct();
  if (!isLead()) return null;
  if (!isOpen) {
    return (
      <Button onPress={() => setOpen(true)} tone="plain">
        Its battery is something else: set it
      </Button>
    );
  }
  const set = async (): Promise<void> => {
    if (!(await run(() => setCaution(code, chosen, why)))) return;
    setOpen(false);
    setWhy("");
  };
  return (
    <section class="card" aria-labelledby="set-caution">
      <h2 id="set-caution">Set what it is</h2>
      <p>
        This decides which boxes take it and what its label says. It is no classification: local rules and a licensed
        shipper decide.
      </p>
      <Choice label="Its battery" options={choicesOf("shipping_caution")} value={chosen} onChoose={setChosen} />
      <TextField label="Why, and who says so" value={why} onInput={setWhy} maxLength={200} />
      {problem !== null && <Refusal problem={problem} />}
      <div class="row">
        <Button onPress={set}>Set it</Button>
        <Button onPress={() => setOpen(false)} tone="plain">
          Leave it
        </Button>
      </div>
    </section>
  );
}
