/** Booking a device in: go on where it was left, or begin. */
import "../../style/book.css";
import { useState } from "preact/hooks";
import { newBooking, readBooking, throwAwayBooking, withNumber } from "../../actions/book.ts";
import type { Booking } from "../../facts/booking.ts";
import { deviceCard } from "../../facts/people.ts";
import { ok, type Problem } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { Walk } from "./Walk.tsx";

export function Book({ imei }: { readonly imei: string | null }) {
  const { value: kept, problem: unread } = useLoaded(async () => (await readBooking()) ?? null, []);
  const { problem, run } = useAct();
  const [chosen, setChosen] = useState<Booking | null>(null);
  if (unread !== null) {
    return (
      <Page title="Booking in">
        <Refusal problem={unread} />
      </Page>
    );
  }
  if (kept === undefined) return null;
  if (chosen !== null) return <Walk start={chosen} />;
  if (kept === null) return <Walk start={begin(imei)} />;
  if (imei === null || kept.imei === imei) return <Walk start={kept} />;
  const again = () =>
    run(
      async () => ok(await throwAwayBooking()),
      () => setChosen(begin(imei)),
    );
  return <Unfinished kept={kept} problem={problem} onGoOn={() => setChosen(kept)} onAgain={again} />;
}

function begin(imei: string | null): Booking {
  const blank = newBooking();
  if (imei === null) return blank;
  return withNumber(blank, { imei, serial: "", device: null }, (ref) => deviceCard(ref)?.model ?? "");
}

type UnfinishedProps = {
  readonly kept: Booking;
  readonly problem: Problem | null;
  readonly onGoOn: () => void;
  readonly onAgain: () => void;
};

function Unfinished({ kept, problem, onGoOn, onAgain }: UnfinishedProps) {
  useHeadingFocus("unfinished");
  const what = [kept.model, kept.name].filter((word) => word !== "").join(", ");
  return (
    <>
      <Page title="Another booking is unfinished" above="Booking in">
        <p class="big">{what === "" ? "It has hardly begun." : `It is for: ${what}.`}</p>
        <p>Go on with it first, or throw it away and begin with the device you just scanned.</p>
        <Button onPress={onAgain} tone="danger">
          Throw it away, begin anew
        </Button>
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={onGoOn} tone="main">
          Go on with it
        </Button>
      </Dock>
    </>
  );
}
