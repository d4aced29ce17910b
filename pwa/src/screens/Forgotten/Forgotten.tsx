/** In place of the shop's screens while this station does not hold the shop any more (F8.11). */
import { allDrafts } from "../../actions/drafts.ts";
import { saveUnsent } from "../../actions/rescue.ts";
import { forgotten, station } from "../../current.ts";
import { nowMs } from "../../device/clock.ts";
import { syncSoon } from "../../sync/loop.ts";
import { reach, syncing, syncProblem } from "../../sync/status.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { spanWords } from "../../words/format.ts";
import { whatWaits } from "../parts/whatWaits.ts";

/** Drafts that nobody filled in: a waiting time that runs, an address for a device's own test. */
const NOT_FILLED_IN = /^(timer|self-test):/;

type Forgot = NonNullable<typeof forgotten.value>;

export function Forgotten() {
  const { problem, run } = useAct();
  const { value: drafts = [] } = useLoaded(allDrafts, []);
  const half = drafts.filter(({ id }) => !NOT_FILLED_IN.test(id));
  const why = forgotten.value;
  if (why === null) return <Page title="This station holds the shop">{null}</Page>;
  const isOut = why.why === "revoked";
  const waits = whatWaits();
  return (
    <>
      <Page
        title={isOut ? "This station was taken out of the shop" : "This station was silent for long"}
        above={`Station ${station.value?.name ?? ""}`}
        place
      >
        {isOut ? (
          <p>What it held of the shop is forgotten here. The server has it. What was not sent is still here.</p>
        ) : (
          <p>{silence(why)}</p>
        )}
        {/* Above the counts: on a small phone it would be below the dock, and it says why nothing goes on. */}
        {!isOut && <Network />}
        <dl class="facts">
          <dt>Not sent, still here</dt>
          <dd>{waits === "" ? "Nothing" : waits}</dd>
          {half.length > 0 && (
            <>
              <dt>Half filled in, still here</dt>
              <dd>{half.length === 1 ? "1 screen" : `${half.length} screens`}</dd>
            </>
          )}
        </dl>
        {waits !== "" && (
          <>
            <Button onPress={() => run(saveUnsent)}>Save what is not sent as a file</Button>
            <p class="soft small">Photos are listed in the file and stay on this station.</p>
          </>
        )}
        {problem !== null && <Refusal problem={problem} />}
        {isOut && <p>To go on here, ask a lead for a new join code. What was not sent is then sent by itself.</p>}
      </Page>
      <Dock>
        {isOut ? (
          <a class="button main" href="#/join">
            Join again
          </a>
        ) : (
          <Button onPress={syncSoon} tone="main" disabled={syncing.value}>
            {syncing.value ? "Talking to the server" : "Try again"}
          </Button>
        )}
      </Dock>
    </>
  );
}

function silence({ reached_ms, days }: Forgot): string {
  const since = reached_ms === null ? "for long" : `for ${spanWords(nowMs() - reached_ms)}`;
  const limit = days === 1 ? "1 day" : `${days} days`;
  return (
    `It has not heard from the shop's server ${since}. After ${limit} a station forgets what it holds of the shop, in case ` +
    "it was lost. The server has it all, and sends it again."
  );
}

/** What keeps it from the server. */
function Network() {
  if (syncProblem.value !== null) return <Refusal problem={syncProblem.value} answers={null} />;
  if (reach.value !== "offline") return null;
  return (
    <Notice tone="plain" title="No network">
      <p>It goes on by itself as soon as the server can be reached.</p>
    </Notice>
  );
}
