/** In place of the app when it cannot start, or has not yet. What is not sent can be saved from here all the same. */
import type { ComponentChildren } from "preact";
import { fetchAgain, saveUnsent } from "../actions/rescue.ts";
import type { Problem } from "../problem.ts";
import { useAct } from "../ui/act.ts";
import { Button } from "../ui/Dock.tsx";
import { Refusal } from "../ui/Notice.tsx";
import { Page } from "../ui/Page.tsx";
import { Bare } from "./App.tsx";

export function Closed({ problem }: { readonly problem: Problem }) {
  const again = useAct();
  return (
    <Frame title="Traymark cannot start">
      <Refusal problem={problem} answers={null}>
        <Button onPress={() => location.reload()}>Load the page again</Button>
      </Refusal>
      <Copy />
      <section class="stack" aria-labelledby="fetch-again">
        <h2 id="fetch-again">If loading again does not help</h2>
        <p>
          The server sends the shop's log once more. What this station has not sent stays on it, and is sent once it has
          started. It needs the network.
        </p>
        <Button onPress={() => again.run(fetchAgain, () => location.reload())}>Fetch the shop's log again</Button>
        {again.problem !== null && <Refusal problem={again.problem} />}
      </section>
    </Frame>
  );
}

/** Until a slow start is through. */
export function Starting() {
  return (
    <Frame title="Still starting">
      <p>This station reads what it keeps. Nothing is lost; it goes on by itself.</p>
      <Copy />
    </Frame>
  );
}

function Copy() {
  const { problem, run } = useAct();
  return (
    <section class="stack" aria-labelledby="keep-copy">
      <h2 id="keep-copy">Keep a copy</h2>
      <p>
        A file with every entry that the server has not confirmed. Photos are listed in it and stay on this station.
      </p>
      <Button onPress={() => run(saveUnsent)}>Save what is not sent as a file</Button>
      {problem !== null && <Refusal problem={problem} />}
    </section>
  );
}

const Frame = ({ title, children }: { readonly title: string; readonly children: ComponentChildren }) => (
  <Bare>
    <Page title={title}>{children}</Page>
  </Bare>
);
