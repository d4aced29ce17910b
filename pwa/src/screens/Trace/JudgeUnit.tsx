/** A lead settles what a doubtful unit is, once it was tried in a device that works. */
import { useState } from "preact/hooks";
import { judgeDoubtful } from "../../actions/judge.ts";
import { state } from "../../current.ts";
import { isLead } from "../../facts/people.ts";
import type { Problem } from "../../problem.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";

export function JudgeUnit({ code }: { readonly code: string }) {
  const [why, setWhy] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  if (state.value.thing.get(code)?.verdict !== "doubtful") return null;
  const judge = async (verdict: "good" | "doa"): Promise<void> => {
    const written = await judgeDoubtful(code, verdict, why);
    setProblem(written.ok ? null : written.problem);
  };
  return (
    <Notice tone="warn" title="Doubtful: keep it apart">
      <p>It is fitted nowhere and goes into no box until it was tried in a device that works, and a lead judged it.</p>
      {isLead() && (
        <>
          <TextField label="Where it was tried, and what it showed" value={why} onInput={setWhy} />
          <div class="row">
            <Button onPress={() => void judge("good")}>It works: good</Button>
            <Button onPress={() => void judge("doa")}>It fails there too: DOA</Button>
          </div>
        </>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </Notice>
  );
}
