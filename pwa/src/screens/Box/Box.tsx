/** One box, from its label: unknown, open, sealed or shipped. */
import "../../style/box.css";
import { parseCode } from "../../codes/codes.ts";
import { state } from "../../current.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { FillBox } from "./FillBox.tsx";
import { Manifest } from "./Manifest.tsx";
import { NewBox } from "./NewBox.tsx";
import { SealBox } from "./SealBox.tsx";
import { SealedBox } from "./SealedBox.tsx";

export function Box({ args }: { readonly args: readonly string[] }) {
  const [given, part] = args;
  if (given === undefined || given === "new") return <NewBox code={null} />;
  const code = parseCode(given);
  if (!code.ok || code.value.kind !== "B") {
    return (
      <Page title="No such box">
        <Refusal problem={code.ok ? { slug: "code-unreadable", detail: "This is no box label." } : code.problem}>
          <a class="button" href="#/scan">
            Scan again
          </a>
        </Refusal>
      </Page>
    );
  }
  const id = code.value.code;
  const box = state.value.box.get(id);
  if (box === undefined || (box.opened === null && box.sealed === null)) return <NewBox code={id} />;
  if (part === "manifest" && box.sealed !== null) return <Manifest code={id} box={box} sealed={box.sealed} />;
  if (box.sealed !== null) return <SealedBox code={id} box={box} sealed={box.sealed} />;
  return part === "seal" ? <SealBox code={id} box={box} /> : <FillBox code={id} box={box} />;
}
