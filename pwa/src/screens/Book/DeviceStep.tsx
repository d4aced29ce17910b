/** The device by its number; what the shop knows of it stands there at once. */
import { readNumber, withNumber, withoutNumber } from "../../actions/book.ts";
import { isNumbered, isUnsafe, openJobOf } from "../../facts/booking.ts";
import { deviceCard } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { groupCode } from "../../words/format.ts";
import { EarlierJobs } from "./EarlierJobs.tsx";
import type { StepProps } from "./step.ts";

export function DeviceStep({ booking, change }: StepProps) {
  const { problem, run } = useAct();
  const found = (text: string) =>
    run(
      () => readNumber(text),
      (number) => change(withNumber(booking, number, (ref) => deviceCard(ref)?.model ?? "")),
    );
  if (isNumbered(booking)) return <Known booking={booking} change={change} />;
  return (
    <>
      <Scanner
        onFound={found}
        say="The IMEI bar code, serial number or old label"
        label="Or type the number"
        enterWord="Take it"
        atOnce={false}
      />
      {isUnsafe(booking) && <p class="soft">Do not switch it on to read a number.</p>}
      {problem !== null && <Refusal problem={problem} />}
    </>
  );
}

function Known({ booking, change }: StepProps) {
  const open = openJobOf(booking);
  return (
    <>
      <p class="book-read">
        {booking.imei !== "" && <Read name="IMEI" value={imeiGroups(booking.imei)} />}
        {booking.serial !== "" && <Read name="Serial number" value={booking.serial} />}
        {booking.noNumber && <Read name="Number" value="None; its label will name it" />}
        {booking.device !== null && <Read name="Known here as" value={groupCode(booking.device)} />}
      </p>
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

function Read({ name, value }: { readonly name: string; readonly value: string }) {
  return (
    <>
      <span class="soft">{name}</span>
      <strong>{value}</strong>
    </>
  );
}

/** An IMEI in the groups of its parts: type, serial number, check digit (3GPP TS 23.003, 6.2.1). */
const imeiGroups = (imei: string): string => `${imei.slice(0, 8)} ${imei.slice(8, 14)} ${imei.slice(14)}`;
