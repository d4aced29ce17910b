/** New parts on the shelf, by lot. */
import { supplierName } from "../../facts/catalogue.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { lotsOnShelf } from "../../views/parts.ts";
import { groupCode } from "../../words/format.ts";
import { go } from "../route.ts";

export function Parts() {
  const lots = lotsOnShelf();
  return (
    <>
      <Page title="Parts on the shelf" place>
        {lots.length === 0 && <p>No part is on the shelf. Receive what the supplier sent: each unit gets its label.</p>}
        <ul class="rows">
          {lots.map((lot) => (
            <li key={`${lot.name}/${lot.supplier}/${lot.lot}`} class="stack">
              <div class="row apart">
                <span>
                  <strong>{lot.name}</strong>
                  <span class="soft small subline">
                    {supplierName(lot.supplier)}, lot {lot.lot}
                  </span>
                </span>
                <span class="count">
                  <b>{lot.codes.length}</b> {lot.codes.length === 1 ? "unit" : "units"}
                </span>
              </div>
              <details>
                <summary>Which ones</summary>
                <ul class="codes">
                  {lot.codes.map((code) => (
                    <li key={code}>
                      <a href={`#/trace/${code}`} class="code">
                        {groupCode(code)}
                      </a>
                    </li>
                  ))}
                </ul>
              </details>
            </li>
          ))}
        </ul>
      </Page>
      <Dock>
        <Button onPress={() => go("part/new")} tone="main">
          Receive a part
        </Button>
      </Dock>
    </>
  );
}
