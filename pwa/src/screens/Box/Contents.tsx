/** What is booked into a box, and taking a piece out again. */
import { takeOut } from "../../actions/box.ts";
import type { Piece } from "../../facts/boxes.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { groupCode } from "../../words/format.ts";
import { valueWord } from "../../words/values.ts";
import { ClashLink } from "../parts/ClashList.tsx";

type Props = { readonly box: string; readonly pieces: readonly Piece[]; readonly fixed?: boolean };

export function Contents({ box, pieces, fixed }: Props) {
  const { problem, run } = useAct();
  const take = (code: string) => run(() => takeOut(box, code));
  if (pieces.length === 0) return null;
  return (
    <section class="stack" aria-labelledby="box-contents">
      <h2 id="box-contents">In this box</h2>
      {problem !== null && <Refusal problem={problem} />}
      <ul class="rows">
        {pieces.map((piece) => (
          <li key={piece.code} class="with-button">
            <a href={`#/trace/${piece.code}`} class="piece">
              <strong>{piece.thing.name ?? "Not tagged yet"}</strong>
              <span class="soft small">
                <span class="code">{groupCode(piece.code)}</span>
                {piece.thing.condition !== null && `, ${valueWord("core_condition", piece.thing.condition)}`}
                {piece.thing.job !== null && `, job ${groupCode(piece.thing.job)}`}
              </span>
            </a>
            {piece.clash ? (
              <ClashLink code={piece.code} />
            ) : (
              fixed !== true && (
                <Button onPress={() => take(piece.code)}>
                  Take out<span class="unseen"> {piece.thing.name ?? piece.code}</span>
                </Button>
              )
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
