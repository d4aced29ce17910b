/** The shop's phones and computers: joining one, and taking one out. */
import { useState } from "preact/hooks";
import { type Invite, invite, revokeStation, type StationLine, stations } from "../../actions/shop.ts";
import { station } from "../../current.ts";
import type { Role } from "../../facts/people.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { dayTime } from "../../words/format.ts";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { InviteShown } from "./InviteShown.tsx";
import { ROLES, roleName } from "./newBadge.ts";

export function Stations() {
  const [turn, setTurn] = useState(0);
  const [shown, setShown] = useState<Invite | null>(null);
  const { value: list, problem: unread } = useLoaded(stations, [turn]);
  const again = () => setTurn(turn + 1);
  if (shown !== null) {
    return (
      <InviteShown
        made={shown}
        onDone={() => {
          setShown(null);
          again();
        }}
      />
    );
  }
  return (
    <Page title="Stations" above="Shop">
      <OnlineOnly />
      {unread !== null && <Refusal problem={unread} />}
      {list !== undefined && !list.ok && <Refusal problem={list.problem} />}
      {list?.ok && (
        <ul class="rows">
          {list.value.map((line) => (
            <Line line={line} key={line.id} onChanged={again} />
          ))}
        </ul>
      )}
      <Join onMade={setShown} />
    </Page>
  );
}

function Line({ line, onChanged }: { readonly line: StationLine; readonly onChanged: () => void }) {
  const [sure, setSure] = useState(false);
  const { problem, busy, run } = useAct();
  const own = line.id === station.value?.station;
  const out = () => run(() => revokeStation(line.id), onChanged);
  return (
    <li class="stack">
      <div class="with-button">
        <span>
          <strong>{line.name}</strong>
          <span class="soft small subline">
            {roleName(line.role)}, {line.id}
            {own && ", this station"}
          </span>
          <span class="soft small subline">{seen(line)}</span>
        </span>
        {line.revoked_at_ms === null && !own && !sure && (
          <Button onPress={() => setSure(true)}>
            Take out<span class="unseen"> {line.name}</span>
          </Button>
        )}
      </div>
      {sure && line.revoked_at_ms === null && (
        <div class="card">
          <p>It can no longer send or fetch anything. Entries it has not sent stay on it until it joins again.</p>
          <div class="row">
            <Button onPress={() => setSure(false)}>Leave it</Button>
            <Button onPress={out} tone="danger" disabled={busy}>
              Take {line.name} out
            </Button>
          </div>
        </div>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </li>
  );
}

function seen(line: StationLine): string {
  if (line.revoked_at_ms !== null) return `Taken out ${dayTime(line.revoked_at_ms)}`;
  return line.last_event_at_ms === null ? "No entry from it yet" : `Last entry ${dayTime(line.last_event_at_ms)}`;
}

function Join({ onMade }: { readonly onMade: (made: Invite) => void }) {
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role | null>(null);
  const { problem, busy, run } = useAct();
  const make = () =>
    run(() => {
      if (role === null) return refuse("field-missing", "Choose what the station is for.");
      return invite(name, role);
    }, onMade);
  return (
    <section class="stack" aria-labelledby="station-new">
      <h2 id="station-new">Join another station</h2>
      <TextField
        label="Name of the station"
        value={name}
        onInput={setName}
        hint="Where it stands, such as Bench 2."
        maxLength={40}
      />
      <Choice label="What for" options={ROLES} value={role} onChoose={setRole} across />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={make} tone="main" disabled={busy}>
        Make a join code
      </Button>
    </section>
  );
}
