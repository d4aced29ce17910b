/** The shipping desk's first look: which boxes are open, which wait for the shipper, which have left. */
import "../../style/boxes.css";
import { type BoxLine, boxLists } from "../../facts/boxes.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { purposeName } from "../../words/boxes.ts";
import { dayTime, groupCode } from "../../words/format.ts";
import { ClashList } from "../parts/ClashList.tsx";
import { SafePlaceLine } from "../parts/SafePlaceLine.tsx";
import { go } from "../route.ts";

const SHIPPED_SHOWN = 30;

export function Boxes() {
  const { open, sealed, shipped } = boxLists();
  return (
    <>
      <Page title="Boxes" place>
        <ClashList />
        <SafePlaceLine />
        <section class="stack" aria-labelledby="boxes-open">
          <h2 id="boxes-open">Open</h2>
          {open.length === 0 ? <p>No box is open. Open one, then scan old parts into it.</p> : <Lines lines={open} />}
        </section>
        {sealed.length > 0 && (
          <section class="stack" aria-labelledby="boxes-sealed">
            <h2 id="boxes-sealed">Sealed, waiting for the shipper</h2>
            <Lines lines={sealed} />
          </section>
        )}
        {shipped.length > 0 && (
          <section class="stack" aria-labelledby="boxes-shipped">
            <h2 id="boxes-shipped">Handed to the shipper</h2>
            <Lines lines={shipped.slice(0, SHIPPED_SHOWN)} />
            {shipped.length > SHIPPED_SHOWN && (
              <p class="soft">
                The last {SHIPPED_SHOWN} of {shipped.length}. Older ones are found by their label.
              </p>
            )}
          </section>
        )}
      </Page>
      <Dock>
        <Button onPress={() => go("box/new")} tone="main">
          Open a new box
        </Button>
      </Dock>
    </>
  );
}

function Lines({ lines }: { readonly lines: readonly BoxLine[] }) {
  return (
    <ul class="rows ship-boxes">
      {lines.map((line) => (
        <li key={line.code}>
          <a href={`#/box/${line.code}`} class="boxes-box">
            <Shape name={line.box.sealed === null ? "box" : line.box.shipped === null ? "done" : "away"} size={30} />
            <span>
              <strong>{supplierName(line.box.supplier)}</strong>
              <span>{purposeName(line.box.purpose)}</span>
              <span class="soft small">
                <span class="code">{groupCode(line.code)}</span>
                {standing(line)}
              </span>
            </span>
            <span class="count">
              <b>{line.box.sealed?.count ?? line.count}</b>{" "}
              {(line.box.sealed?.count ?? line.count) === 1 ? "piece" : "pieces"}
            </span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function standing({ box }: BoxLine): string {
  if (box.shipped !== null) return `, left ${dayTime(box.shipped.at_ms)}`;
  return box.sealed === null ? "" : `, sealed ${dayTime(box.sealed.at_ms)}`;
}
