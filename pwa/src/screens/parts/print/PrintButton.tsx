/** One press prints labels; without a network it shows what to write by hand. */
import { useState } from "preact/hooks";
import { type Label, printLabels, saveLabel } from "../../../actions/print.ts";
import type { Problem } from "../../../problem.ts";
import "../../../style/print.css";
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

type Standing = "idle" | "asking" | "sent";

export function PrintButton({ labels, children, tone, onDone }: Props) {
  const [standing, setStanding] = useState<Standing>("idle");
  const [problem, setProblem] = useState<Problem | null>(null);
  const run = async (
    work: () => Promise<{ readonly ok: true } | { readonly ok: false; readonly problem: Problem }>,
  ) => {
    setStanding("asking");
    const done = await work();
    setProblem(done.ok ? null : done.problem);
    setStanding(done.ok ? "sent" : "idle");
    if (done.ok || done.problem.slug === "print-offline") onDone?.();
  };
  const first = labels[0];
  if (first === undefined) return null;
  const text = standing === "asking" ? "The server draws it" : standing === "sent" ? `${children} again` : children;
  return (
    <div class="stack">
      <Button
        onPress={() => void run(() => printLabels(labels))}
        disabled={standing === "asking"}
        {...(tone === undefined ? {} : { tone })}
      >
        {text}
      </Button>
      {standing === "sent" && (
        <Button onPress={() => void run(() => saveLabel(first))} tone="plain">
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
