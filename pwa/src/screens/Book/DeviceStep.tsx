/** The device by its number; what the shop knows of it stands there at once. */
import { useState } from "preact/hooks";
import { readNumber, withNumber, withoutNumber } from "../../actions/book.ts";
import type { Problem } from "../../problem.ts";
import { Code } from "../../ui/Code.tsx";
import { Button } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { openJobOf } from "../../views/booking.ts";
import { deviceCard } from "../../views/people.ts";
import { EarlierJobs } from "./EarlierJobs.tsx";
import type { StepProps } from "./step.ts";

export function DeviceStep({ booking, change }: StepProps) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const found = (text: string): void => {
    const number = readNumber(text);
    setProblem(number.ok ? null : number.problem);
    if (number.ok) change(withNumber(booking, number.value, (ref) => deviceCard(ref)?.model ?? ""));
  };
  const known = booking.imei !== "" || booking.serial !== "" || booking.device !== null || booking.noNumber;
  if (known) return <Known booking={booking} change={change} />;
  return (
    <>
      <Scanner onFound={found} say="The IMEI bar code, serial number or old label" atOnce={false} />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={() => change({ noNumber: true })} tone="plain">
        No number can be read
      </Button>
    </>
  );
}

function Known({ booking, change }: StepProps) {
  const open = openJobOf(booking);
  return (
    <>
      <dl class="facts big">
        {booking.imei !== "" && <Fact name="IMEI" value={booking.imei} />}
        {booking.serial !== "" && <Fact name="Serial number" value={booking.serial} />}
        {booking.device !== null && (
          <>
            <dt>Device</dt>
            <dd>
              <Code code={booking.device} />
            </dd>
          </>
        )}
        {booking.noNumber && <Fact name="Number" value="Cannot be read; the label alone will name it" />}
      </dl>
      {open !== null && !booking.knowingly && (
        <Notice tone="warn" title="This device has an open job">
          <p>Most likely it is the same matter. Go there, or book another job in knowingly.</p>
        </Notice>
      )}
      <EarlierJobs booking={booking} />
      <Button onPress={() => change(withoutNumber())} tone="plain">
        Another number
      </Button>
    </>
  );
}

function Fact({ name, value }: { readonly name: string; readonly value: string }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </>
  );
}
