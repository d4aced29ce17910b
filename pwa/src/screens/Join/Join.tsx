/** Joining the shop with a one-time code. */
import { useEffect, useState } from "preact/hooks";
import { station } from "../../current.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { go } from "../route.ts";

export function Join({ code }: { readonly code: string | null }) {
  const [typed, setTyped] = useState(code ?? "");
  const [name, setName] = useState("");
  const { problem, busy, run, setProblem } = useAct();
  // A link that is opened while this screen is up brings its own code.
  useEffect(() => {
    if (code === null) return;
    setTyped(code);
    setProblem(null);
  }, [code]);
  const take = () =>
    run(
      async () => {
        const action = await import("../../actions/join.ts").catch(() => null);
        return action === null ? refuse("shop-offline") : action.join(typed, name.trim());
      },
      () => go("scan", "replace"),
    );
  const read = (text: string): void => setTyped(/#\/join\/([0-9A-Za-z-]+)$/.exec(text.trim())?.[1] ?? text.trim());
  return (
    <>
      <Page title="Join the shop" above="This browser becomes a station">
        <p>A station keeps the shop's jobs on this phone or computer and works without a network.</p>
        {station.value !== null && <p class="soft">It is already a station of {station.value.shop}.</p>}
        {typed === "" ? (
          <Scanner onFound={read} say="The join code" enterWord="Go on" atOnce={false} />
        ) : (
          <>
            <TextField label="Join code" value={typed} onInput={setTyped} maxLength={40} />
            <TextField
              label="Name of this station"
              value={name}
              onInput={setName}
              hint="Where it stands, such as Bench 2."
              maxLength={40}
            />
          </>
        )}
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      {typed !== "" && (
        <Dock>
          <Button onPress={take} tone="main" disabled={busy}>
            Join
          </Button>
        </Dock>
      )}
    </>
  );
}
