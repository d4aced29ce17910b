/** Scanning parts into an open box, one after another: in at once, or refused at once. */
import { useRef, useState } from "preact/hooks";
import { type PutIn, type PutInResult, putIn } from "../../actions/box.ts";
import { readScan } from "../../codes/scanned.ts";
import { piecesOf } from "../../facts/boxes.ts";
import { supplierName } from "../../facts/catalogue.ts";
import type { Box } from "../../fold/state.ts";
import { refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { purposeName } from "../../words/boxes.ts";
import { groupCode } from "../../words/format.ts";
import { Findings } from "../parts/Findings.tsx";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { go } from "../route.ts";
import { boxLabel } from "./boxLabel.ts";
import { Contents } from "./Contents.tsx";
import { Refused } from "./Refused.tsx";
import { Batteries } from "./ShippingCaution.tsx";

/** A pattern for a refusal that a hand in a glove can tell from the short tick of a reading; chosen by feel. */
const REFUSED_MS = [180, 80, 180];

export function FillBox({ code, box }: { readonly code: string; readonly box: Box }) {
  const [last, setLast] = useState<PutIn | null>(null);
  const { problem, run, setProblem } = useAct();
  const turn = useRef<Promise<unknown>>(Promise.resolve());
  const pieces = piecesOf(code);

  const take = async (text: string): Promise<void> => {
    setProblem(null);
    const seen = readScan(text);
    if (seen.ok && seen.value.is === "code" && seen.value.kind === "B" && seen.value.code !== code)
      return go(`box/${seen.value.code}`);
    if (await run(() => putOrRefuse(seen), setLast)) return;
    navigator.vibrate?.(REFUSED_MS);
    setLast(null);
  };
  /** A badge is a secret: it is refused without being shown. */
  const putOrRefuse = async (seen: ReturnType<typeof readScan>): Promise<PutInResult> => {
    if (!seen.ok) return seen;
    if (seen.value.is === "badge") return refuse("badge-not-here");
    return seen.value.is === "code" ? putIn(code, seen.value.code) : refuse("code-unreadable");
  };
  /** One after another: the next scan is judged after the one before is booked. */
  const scanned = (text: string): void => {
    turn.current = turn.current.then(() => take(text));
  };

  return (
    <>
      <Page title={`${supplierName(box.supplier)}: ${purposeName(box.purpose)}`} above={`Box ${groupCode(code)}`} wide>
        <div class="two">
          <div class="stack">
            <LastScan last={last} count={pieces.length} />
            <Scanner onFound={scanned} say="Label of the part" enterWord="Put in" atOnce />
          </div>
          <div class="stack">
            <Findings findings={box.findings} />
            <Contents box={code} pieces={pieces} />
            <Batteries pieces={pieces} purpose={box.purpose} />
            <PrintButton labels={[boxLabel(code)]} tone="plain">
              Print the box label
            </PrintButton>
          </div>
        </div>
        {problem !== null && <Refused problem={problem} onClear={() => setProblem(null)} />}
      </Page>
      <Dock>
        <Button onPress={() => go("boxes")} tone="aside">
          Boxes
        </Button>
        <Button onPress={() => go(`box/${code}/seal`)} tone="main">
          Count and seal
        </Button>
      </Dock>
    </>
  );
}

function LastScan({ last, count }: { readonly last: PutIn | null; readonly count: number }) {
  return (
    <section class={last === null ? "box-last" : "box-last in"} role="status" aria-label="Last scan">
      <Shape name={last === null ? "scan" : "done"} size={46} />
      <p class="box-word">{last === null ? (count === 0 ? "Empty" : "Scan on") : last.wasIn ? "Already in" : "In"}</p>
      <p class="box-name">{last === null ? "Scan the label of each part" : last.name}</p>
      <p class="count">
        <b>{count}</b> {count === 1 ? "piece" : "pieces"}
      </p>
    </section>
  );
}
