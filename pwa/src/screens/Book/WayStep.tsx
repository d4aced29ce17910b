/** The procedure for this model; the bench may choose another. */

import { proceduresFor } from "../../facts/booking.ts";
import { Choice, TwoLines } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

const LATER = "";

export function WayStep({ booking, change }: StepProps) {
  const options = [
    ...proceduresFor(booking.model).map((p) => ({
      value: p.id,
      name: <TwoLines name={p.title} detail={`About ${p.minutes} min at the bench`} />,
    })),
    { value: LATER, name: "The bench decides" },
  ];
  return (
    <Choice
      label="Procedure"
      options={options}
      value={booking.procedure ?? LATER}
      onChoose={(id) => change({ procedure: id === LATER ? null : id })}
    />
  );
}
