/** In place of a screen whose job, thing or box was put away: read from the server when there is a network. */
import { useEffect } from "preact/hooks";
import { type Asked, readPutAway } from "../../actions/archive.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { go } from "../route.ts";

type Props = { readonly asked: Extract<Asked, { readonly code: string } | { readonly ticket: string }> };

export function PutAway({ asked }: Props) {
  const { problem, busy, run } = useAct();
  const read = () =>
    run(
      () => readPutAway(asked),
      (job) => {
        if ("ticket" in asked && job !== null) go(`job/${job}`, "replace");
      },
    );
  useEffect(() => void read(), []);
  const isPutAway = "code" in asked;
  return (
    <Page title={isPutAway ? "Put away" : "Not here"} {...(isPutAway ? { above: groupCode(asked.code) } : {})}>
      <p>
        {isPutAway
          ? "This was over long ago. The server keeps it, with its whole history; this station does not any more."
          : "No job on this station has this ticket. The server is asked for those that were put away."}
      </p>
      {problem === null && <p class="soft">Asking the server.</p>}
      {problem !== null && (
        <Refusal problem={problem}>
          <Button onPress={read} disabled={busy}>
            Try again
          </Button>
          <a class="button plain" href="#/scan">
            Scan something else
          </a>
        </Refusal>
      )}
    </Page>
  );
}
