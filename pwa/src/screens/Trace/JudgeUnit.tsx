/** A lead settles what a doubtful unit is, once it was tried in a device that works. */
import { useState } from "preact/hooks";
import { judgeDoubtful } from "../../actions/judge.ts";
import { state } from "../../current.ts";
import { isLead } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";

export function JudgeUnit({ code }: { readonly code: string }) {
  const [why, setWhy] = useState("");
  const { problem, run } = useAct();
  if (state.value.thing.get(code)?.verdict !== "doubtful") return null;
  const judge = (verdict: "good" | "doa") => run(() => judgeDoubtful(code, verdict, why));
  return (
    <Notice tone="warn" title="Doubtful: keep it apart">
      <p>It is fitted nowhere and goes into no box until it was tried in a device that works, and a lead judged it.</p>
      {isLead() && (
        <>
          <TextField label="Where it was tried, and what it showed" value={why} onInput={setWhy} />
          <div class="row">
            <Button onPress={() => judge("good")}>It works: good</Button>
            <Button onPress={() => judge("doa")}>It fails there too: DOA</Button>
          </div>
        </>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </Notice>
  );
}
