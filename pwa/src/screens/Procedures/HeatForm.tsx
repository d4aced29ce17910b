/** What a step warms, which solvent it uses, and what it says instead beside a swollen cell. */
import type { Heat, Written } from "../../rules/procedure.ts";
import type { Changes } from "../../rules/procedureEdit.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { LinesField, NumberField } from "../../ui/typedFields.tsx";

type Props = {
  readonly row: Written;
  readonly onSet: (changes: Changes<Written>) => void;
  readonly onHeat: (heat: Heat | undefined) => void;
};

/** For glass edges; the maker's sheet and the shop's pad decide (common practice, no source). */
const USUAL_C = 65;

export function HeatForm({ row, onSet, onHeat }: Props) {
  const { heat, solvent, swollen } = row;
  return (
    <section class="card" aria-label="Heat and solvent">
      <h3>Heat and solvent</h3>
      {heat === undefined ? (
        <Button onPress={() => onHeat({ where: "", usual_c: USUAL_C })}>It warms something</Button>
      ) : (
        <>
          <div class="proc-two">
            <TextField
              label="Where it is warmed"
              value={heat.where}
              onInput={(where) => onHeat({ ...heat, where })}
              maxLength={80}
            />
            <NumberField
              label="Usual temperature there, °C"
              value={heat.usual_c}
              onChange={(usual_c) => onHeat({ ...heat, usual_c: usual_c as number })}
              hint="The usual time is the wait above. Never over the cell."
            />
          </div>
          <Button onPress={() => onHeat(undefined)} tone="plain">
            It warms nothing
          </Button>
        </>
      )}
      {solvent === undefined ? (
        <Button onPress={() => onSet({ solvent: { what: "", where: "" } })}>It uses solvent</Button>
      ) : (
        <>
          <div class="proc-two">
            <TextField
              label="Which solvent"
              value={solvent.what}
              onInput={(what) => onSet({ solvent: { ...solvent, what } })}
              maxLength={80}
            />
            <TextField
              label="Where it goes"
              value={solvent.where}
              onInput={(where) => onSet({ solvent: { ...solvent, where } })}
              maxLength={80}
            />
          </div>
          <Button onPress={() => onSet({ solvent: undefined })} tone="plain">
            It uses no solvent
          </Button>
        </>
      )}
      <LinesField
        label="Said instead beside a swollen cell"
        values={swollen?.say ?? []}
        onChange={(say) => onSet({ swollen: say.length === 0 ? undefined : { say } })}
        hint="Only where a swollen cell is being taken out. Empty: as above, without heat and solvent."
      />
    </section>
  );
}
