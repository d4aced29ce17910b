/** Who works here: adding people, their role, their badge. */
import { useState } from "preact/hooks";
import { addStaff, endBadge, hasBadge, replaceBadge, setRole } from "../../actions/shop.ts";
import { signedOn } from "../../current.ts";
import { allStaff, type Role, type Staff } from "../../facts/people.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { newBadge, ROLES, roleName } from "./newBadge.ts";

export function StaffScreen() {
  const [open, setOpen] = useState<string | null>(null);
  const people = [...allStaff()].sort(([, a], [, b]) => a.name.localeCompare(b.name));
  return (
    <Page title="Staff" above="Shop">
      <OnlineOnly />
      <ul class="rows">
        {people.map(([id, staff]) => (
          <li key={id} class="stack">
            <div class="with-button">
              <span>
                <strong>{staff.name}</strong>
                <span class="soft small subline">
                  {roleName(staff.role)}, {id}
                  {!hasBadge(staff) && ", no badge: cannot sign on"}
                </span>
              </span>
              <Button onPress={() => setOpen(open === id ? null : id)}>
                {open === id ? "Close" : "Change"}
                <span class="unseen"> {staff.name}</span>
              </Button>
            </div>
            {open === id && <Member id={id} staff={staff} />}
          </li>
        ))}
      </ul>
      <NewMember />
    </Page>
  );
}

function Member({ id, staff }: { readonly id: string; readonly staff: Staff }) {
  const { problem, busy, run } = useAct();
  const again = () =>
    run(
      () => replaceBadge(id),
      (made) => {
        newBadge.value = { ...made, name: staff.name, role: staff.role };
      },
    );
  return (
    <div class="card">
      <Choice
        label="Role"
        options={ROLES}
        value={staff.role}
        onChoose={(role) => run(() => setRole(id, role))}
        across
      />
      <Button onPress={again} disabled={busy}>
        New badge, the old one ends
      </Button>
      {hasBadge(staff) && id !== signedOn.value && (
        <Button onPress={() => run(() => endBadge(id))} tone="danger" disabled={busy}>
          End the badge: no longer works here
        </Button>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </div>
  );
}

function NewMember() {
  const [name, setName] = useState("");
  const [role, chooseRole] = useState<Role | null>(null);
  const { problem, busy, run } = useAct();
  const add = () =>
    run(async () => {
      if (role === null) return refuse("field-missing", "Choose what the person does.");
      const added = await addStaff(name, role);
      if (added.ok) newBadge.value = { ...added.value, name: name.trim(), role };
      return added;
    });
  return (
    <section class="stack" aria-labelledby="staff-new">
      <h2 id="staff-new">Add somebody</h2>
      <TextField label="Name, as colleagues know it" value={name} onInput={setName} maxLength={80} />
      <Choice label="What they do" options={ROLES} value={role} onChoose={chooseRole} across />
      {problem !== null && <Refusal problem={problem} />}
      <Button onPress={add} tone="main" disabled={busy}>
        Add, and make a badge
      </Button>
    </section>
  );
}
