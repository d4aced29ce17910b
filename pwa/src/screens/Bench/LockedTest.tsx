/** For a device that stays locked: how far it is tested, and one press for all points that the lock bars. */
import { readLocked } from "../../actions/tests.ts";
import type { TestStage } from "../../events/kinds.gen.ts";
import { isBarred } from "../../rules/locked.ts";
import { lockedReason, lockedWords } from "../../tables/testPoints.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { lower } from "../../words/format.ts";
import { pointNames } from "../../words/points.ts";

type Props = {
  readonly code: string;
  readonly stage: TestStage;
  /** Points that are not read yet. */
  readonly open: readonly string[];
};

export function LockedTest({ code, stage, open }: Props) {
  const { problem, run } = useAct();
  const barred = open.filter(isBarred);
  const enter = () => run(() => readLocked(code, stage, barred));
  return (
    <Notice tone="warn" title={`${lockedWords.name}: as far as it goes`}>
      <p>{lockedWords.caution}</p>
      {/* One alone has its press at its own row. */}
      {barred.length > 1 && (
        <>
          <p>
            {barred.length} points cannot be tested at all: {pointNames(barred)}.
          </p>
          <Button onPress={enter}>
            Enter these {barred.length}: {lower(lockedReason)}
          </Button>
        </>
      )}
      {problem !== null && <Refusal problem={problem} />}
    </Notice>
  );
}
