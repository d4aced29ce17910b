/** Whether a part is or holds a battery, and how much energy, as it is received. */
import type { ShippingCaution } from "../../events/kinds.gen.ts";
import { ok, type Result, refuse } from "../../problem.ts";
import { hasBattery, readWattHours } from "../../rules/battery.ts";
import { Choice, TextField } from "../../ui/fields.tsx";
import { RECEIVED_AS } from "../../words/battery.ts";

/** The energy stays as it is typed until the part is received. */
export type BatteryTyped = { readonly caution: ShippingCaution | null; readonly energy: string };

type Props = { readonly typed: BatteryTyped; readonly onChange: (typed: BatteryTyped) => void };

export function BatteryFields({ typed, onChange }: Props) {
  return (
    <>
      <Choice
        label="Battery"
        options={RECEIVED_AS}
        value={typed.caution}
        onChoose={(caution) => onChange({ ...typed, caution })}
      />
      {hasBattery(typed.caution) && (
        <TextField
          label="Its energy in Wh"
          value={typed.energy}
          onInput={(energy) => onChange({ ...typed, energy })}
          inputMode="decimal"
          maxLength={8}
          hint="As printed on it, such as 11.55. Leave it empty if nothing is printed."
        />
      )}
    </>
  );
}

/** Null when none is typed or there is no battery; refused when what is typed is no energy. */
export function readEnergy({ caution, energy }: BatteryTyped): Result<number | null> {
  if (!hasBattery(caution) || energy.trim() === "") return ok(null);
  const mwh = readWattHours(energy);
  return mwh === null ? refuse("field-missing", "Type the energy in watt-hours, such as 11.55.") : ok(mwh);
}

export const typedWattHours = (mwh: number | null): string => (mwh === null ? "" : String(mwh / 1000));
