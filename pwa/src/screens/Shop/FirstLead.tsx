/** The very first person of a shop: becomes its lead, gets a badge, signs on. */
import { useState } from "preact/hooks";
import { addStaff } from "../../actions/shop.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { newBadge } from "./newBadge.ts";

export function FirstLead() {
  const [name, setName] = useState("");
  const { problem, busy, run } = useAct();
  const add = () =>
    run(
      () => addStaff(name, "lead"),
      (made) => {
        newBadge.value = { ...made, name: name.trim(), role: "lead" };
      },
    );
  return (
    <>
      <Page title="Add yourself as lead" above="This shop has no staff yet">
        <p>Every entry says who made it. You are the first; as lead you add the others and their stations.</p>
        <OnlineOnly />
        <TextField
          label="Your name, as colleagues know it"
          value={name}
          onInput={setName}
          maxLength={80}
          autoComplete="name"
        />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={add} tone="main" disabled={busy}>
          Make my badge
        </Button>
      </Dock>
    </>
  );
}
