/** The lock changed during the job, with the reason: a restart locked the device, or its owner unlocked it. */
import { useState } from "preact/hooks";
import { changeLock } from "../../actions/lock.ts";
import type { Job } from "../../fold/state.ts";
import { isLocked } from "../../rules/locked.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";

const REASONS = {
  locked: ["It was restarted and asks for the code", "It locked itself"],
  unlocked: ["The customer unlocked it", "The customer took the lock off"],
} as const;

export function LockChange({ code, job }: { readonly code: string; readonly job: Job }) {
  const [open, setOpen] = useState(false);
  const [why, setWhy] = useState("");
  const { problem, run } = useAct();
  const to = isLocked(job) ? "unlocked" : "locked";
  const enter = async (reason: string): Promise<void> => {
    if (!(await run(() => changeLock(code, to, reason)))) return;
    setOpen(false);
    setWhy("");
  };
  if (!open) return <Button onPress={() => setOpen(true)}>The device is {to} now</Button>;
  return (
    <section class="card" aria-label="Lock">
      <p>
        <strong>The device is {to} now, because</strong>
      </p>
      <div class="choices">
        {REASONS[to].map((reason) => (
          <Button key={reason} onPress={() => enter(reason)}>
            {reason}
          </Button>
        ))}
      </div>
      <TextField label="Another reason" value={why} onInput={setWhy} hint="Never a code" />
      {problem !== null && <Refusal problem={problem} />}
      <div class="row">
        <Button onPress={() => enter(why)}>Enter it</Button>
        <Button onPress={() => setOpen(false)} tone="plain">
          Leave it as it is
        </Button>
      </div>
    </section>
  );
}
