/** What is only on this station, whether the server was reached, and what to do when it refuses. */
import { saveUnsent } from "../../actions/rescue.ts";
import { forgotten, station } from "../../current.ts";
import { isLead } from "../../facts/people.ts";
import { syncSoon } from "../../sync/loop.ts";
import {
  clockSkewMs,
  lastReachedMs,
  reach,
  syncing,
  syncProblem,
  unsentDocs,
  unsentEvents,
  unsentPhotos,
} from "../../sync/status.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { sentPhotosLine } from "../../views/sentPhotos.ts";
import { setAside } from "../../views/trace.ts";
import { dayTime } from "../../words/format.ts";
import { SetAsideList } from "../parts/SetAsideList.tsx";
import { whatWaits } from "../parts/whatWaits.ts";
import { Station } from "./Station.tsx";

/** A difference of clocks up to this is no matter; above it, times on the record mislead people. */
const SKEW_TOLD_MS = 120_000;

export function Sync() {
  const { problem, run } = useAct();
  const { value: aside, problem: unread } = useLoaded(setAside, []);
  const { value: sent } = useLoaded(sentPhotosLine, [unsentPhotos.value]);
  const save = () => run(saveUnsent);
  const waiting = unsentEvents.value + unsentDocs.value + unsentPhotos.value;
  return (
    <>
      <Page title={titleOf(waiting)} above={`Station ${station.value?.name ?? ""}`} place>
        <Standing />
        <dl class="facts">
          <dt>Only on this station</dt>
          <dd>{waiting === 0 ? "Nothing" : whatWaits()}</dd>
          {sent != null && (
            <>
              <dt>Kept until a backup has them</dt>
              <dd>{sent}</dd>
            </>
          )}
          <dt>Server last reached</dt>
          <dd>{lastReachedMs.value === null ? "Not since this page was opened" : dayTime(lastReachedMs.value)}</dd>
        </dl>
        <Skew />
        {waiting > 0 && (
          <section class="stack" aria-labelledby="sync-file">
            <h2 id="sync-file">Keep a copy</h2>
            <p>
              A file with every entry that the server has not confirmed. Photos are listed in it and stay on this
              station.
            </p>
            <Button onPress={save}>Save what is not sent as a file</Button>
            {problem !== null && <Refusal problem={problem} />}
          </section>
        )}
        {unread !== null && <Refusal problem={unread} answers={null} />}
        {isLead() && aside !== undefined && aside.length > 0 && (
          <Notice tone="warn" title={`Set aside by the server: ${aside.length}`}>
            <p>
              These entries could not be read. They keep their place in the log and have no effect. Do again what is
              missing.
            </p>
            <SetAsideList rows={aside} />
          </Notice>
        )}
        <Station />
      </Page>
      <Dock>
        <Button onPress={syncSoon} tone="main" disabled={syncing.value}>
          {syncing.value ? "Talking to the server" : "Sync now"}
        </Button>
      </Dock>
    </>
  );
}

function titleOf(waiting: number): string {
  if (waiting > 0) return "Some entries are only here";
  return syncProblem.value === null ? "All is on the server" : "The server refuses";
}

function Standing() {
  if (syncProblem.value !== null) {
    return (
      <Refusal problem={syncProblem.value} answers={null}>
        {syncProblem.value.slug === "station-revoked" || syncProblem.value.slug === "station-unknown" ? (
          <p>
            {forgotten.value === null
              ? "Nothing is lost: what is here stays here. "
              : "What this station held of the shop is forgotten; what is not sent stays here. "}
            Save it as a file, ask a lead for a join code, and <a href="#/join">join again</a>. Then it is sent by
            itself.
          </p>
        ) : (
          <p>Nothing is lost. It is tried again by itself.</p>
        )}
      </Refusal>
    );
  }
  if (reach.value === "offline") {
    return (
      <Notice tone="plain" title="No network">
        <p>Go on working. Everything is kept here and sent by itself when the network is back.</p>
      </Notice>
    );
  }
  return null;
}

function Skew() {
  const skew = clockSkewMs.value;
  if (skew === null || Math.abs(skew) <= SKEW_TOLD_MS) return null;
  const minutes = Math.round(Math.abs(skew) / 60_000);
  return (
    <Notice tone="warn" title={`This station's clock is ${minutes} min ${skew > 0 ? "fast" : "slow"}`}>
      <p>
        The order of entries does not depend on it, but the times people read are wrong. Let the phone set its clock by
        itself.
      </p>
    </Notice>
  );
}
