/** One press prints labels; without a network it shows what to write by hand. */
import { useState } from "preact/hooks";
import { type Label, printLabels, saveLabel } from "../../../actions/print.ts";
import type { Result } from "../../../problem.ts";
import "../../../style/print.css";
import { useAct } from "../../../ui/act.ts";
import { Code } from "../../../ui/Code.tsx";
import { Button } from "../../../ui/Dock.tsx";
import { Refusal } from "../../../ui/Notice.tsx";

type Props = {
  readonly labels: readonly Label[];
  readonly children: string;
  readonly tone?: "main" | "plain" | "aside";
  /** Called once the print dialog was opened or the label was kept for later. */
  readonly onDone?: () => void;
};

export function PrintButton({ labels, children, tone, onDone }: Props) {
  const [sent, setSent] = useState(false);
  const { problem, busy, run } = useAct();
  const ask = (work: () => Promise<Result<null>>) =>
    run(async () => {
      setSent(false);
      const done = await work();
      setSent(done.ok);
      if (done.ok || done.problem.slug === "print-offline") onDone?.();
      return done;
    });
  const first = labels[0];
  if (first === undefined) return null;
  const text = busy ? "The server draws it" : sent ? `${children} again` : children;
  return (
    <div class="stack">
      <Button onPress={() => ask(() => printLabels(labels))} disabled={busy} {...(tone === undefined ? {} : { tone })}>
        {text}
      </Button>
      {sent && (
        <Button onPress={() => ask(() => saveLabel(first))} tone="plain">
          Nothing came out? Save it as a file
        </Button>
      )}
      {problem !== null && (
        <Refusal problem={problem}>
          {problem.slug === "print-offline" &&
            labels.map((label) => (
              <p class="print-by-hand" key={label.code}>
                <Code code={label.code} />
              </p>
            ))}
        </Refusal>
      )}
    </div>
  );
}
