/** Whether the customer unlocks the device. There is no field for a code, on purpose. */

import { withLock } from "../../facts/booking.ts";
import { Choice } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

export function LockStep({ booking, change }: StepProps) {
  return (
    <>
      <Choice
        label="How is it tested?"
        options={[
          { value: "unlocked", name: "The customer unlocks it" },
          { value: "locked", name: "It stays locked" },
        ]}
        value={booking.lock}
        onChoose={(lock) => change(withLock(booking, lock))}
      />
      <p class="soft">
        Codes are never written down: not here, not on the bag, not in a note. Locked devices are tested as far as they
        go.
      </p>
    </>
  );
}
