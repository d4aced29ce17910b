/** Signing on by badge, and off. */
import { useEffect } from "preact/hooks";
import { signOff, signOn } from "../../actions/signOn.ts";
import { signedOn } from "../../current.ts";
import { staffName } from "../../facts/people.ts";
import { ok } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { go } from "../route.ts";

export function SignOn({ badge }: { readonly badge: string | null }) {
  const { problem, run } = useAct();
  const take = (text: string) =>
    run(
      () => signOn(text),
      () => go("scan", "replace"),
    );
  useEffect(() => {
    if (badge !== null) void take(badge);
  }, [badge]);
  const who = signedOn.value;
  return (
    <>
      <Page
        title={who === null ? "Sign on" : "Signed on"}
        above={who === null ? "Nobody is signed on" : staffName(who)}
      >
        {who !== null && <p>Scan another badge to change over, or sign off.</p>}
        <Scanner
          onFound={take}
          say="Your badge"
          enterWord={who === null ? "Sign on" : "Change"}
          atOnce={badge === null}
        />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      {who !== null && (
        <Dock>
          <Button onPress={() => run(async () => ok(await signOff()))} tone="danger">
            Sign {staffName(who)} off
          </Button>
        </Dock>
      )}
    </>
  );
}
