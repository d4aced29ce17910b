/** How much needs no call. */

import { shop } from "../../facts/people.ts";
import { Choice, TextField } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

export function PriceStep({ booking, change }: StepProps) {
  const currency = shop().currency;
  return (
    <>
      <Choice
        label="Without a call"
        options={[
          { value: "limit", name: "Up to a limit" },
          { value: "call", name: "Nothing: call before any cost" },
          { value: "open", name: "The price is agreed already" },
        ]}
        value={booking.price}
        onChoose={(price) => change({ price })}
      />
      {booking.price === "limit" && (
        <TextField
          label={currency === undefined ? "Limit" : `Limit in ${currency}`}
          inputMode="decimal"
          value={booking.limit}
          onInput={(limit) => change({ limit })}
          maxLength={10}
        />
      )}
    </>
  );
}
