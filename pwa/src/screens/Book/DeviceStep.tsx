/** The device by its number; what the shop knows of it stands there at once. */
import { useEffect, useRef } from "preact/hooks";
import { readEarlier } from "../../actions/archive.ts";
import { readNumber, withNumber, withoutNumber } from "../../actions/book.ts";
import { isNumbered, isUnsafe, openJobOf } from "../../facts/booking.ts";
import { deviceCard } from "../../facts/people.ts";
import { isAway } from "../../facts/things.ts";
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
      (number) => change(withNumber(booking, number, modelOf)),
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
      <PutAwayJobs booking={booking} change={change} />
      <Button onPress={() => change(withoutNumber())} tone="plain">
        Another number
      </Button>
    </>
  );
}

/** Jobs that were put away are asked for beside the work; the next step does not wait for them. */
function PutAwayJobs({ booking, change }: StepProps) {
  const { problem, busy, run } = useAct();
  const isHere = useRef(true);
  const { imei, serial, device } = booking;
  const isNamed = imei !== "" || serial !== "" || (device !== null && isAway(device));
  const read = () =>
    run(
      () => readEarlier(booking),
      (jobs) => {
        if (!isHere.current || jobs.length === 0) return;
        const lent = withNumber(booking, { imei, serial, device }, modelOf);
        change({ device: lent.device, cardRef: lent.cardRef, model: lent.model });
      },
    );
  useEffect(() => {
    if (isNamed) void read();
    return () => {
      isHere.current = false;
    };
  }, []);
  if (problem === null) return null;
  return (
    <Notice tone="plain" title="Older jobs could not be asked for">
      <p>Go on all the same. If this device was here before, the queue says so once the server can be reached.</p>
      <Button onPress={read} disabled={busy}>
        Ask again
      </Button>
    </Notice>
  );
}

const modelOf = (ref: string): string => deviceCard(ref)?.model ?? "";

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
