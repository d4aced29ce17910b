/** After receiving: the labels to print, and on with the next lot. */
import { state } from "../../current.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { groupCode } from "../../words/format.ts";
import { partLabel } from "../parts/print/labels.ts";
import { PrintButton } from "../parts/print/PrintButton.tsx";

type Props = { readonly codes: readonly string[]; readonly hasLabel: boolean; readonly onMore: () => void };

export function ReceivedParts({ codes, hasLabel, onMore }: Props) {
  const thing = state.value.thing.get(codes[0] ?? "");
  const count = `${codes.length} ${codes.length === 1 ? "unit" : "units"}`;
  return (
    <>
      <Page title="On the shelf" above={`${thing?.name ?? ""}, lot ${thing?.lot ?? ""}`}>
        <Notice tone="good" title={`${count} received`}>
          <p>{hasLabel ? "It has its label already." : "Put one label on the packaging of each unit."}</p>
        </Notice>
        <ul class="codes">
          {codes.map((code) => (
            <li key={code}>
              <a href={`#/trace/${code}`} class="code">
                {groupCode(code)}
              </a>
            </li>
          ))}
        </ul>
        <PrintButton labels={codes.map(partLabel)} {...(hasLabel ? { tone: "plain" } : {})}>
          {codes.length === 1 ? "Print its label" : `Print ${codes.length} labels`}
        </PrintButton>
      </Page>
      <Dock>
        <Button onPress={onMore} tone="main">
          Receive the next lot
        </Button>
      </Dock>
    </>
  );
}
