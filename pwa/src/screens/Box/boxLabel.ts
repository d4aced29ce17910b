/** What a box label says. Field names and lengths are those of shared/labels.json. */
import type { Label } from "../../actions/print.ts";
import { state } from "../../current.ts";
import { piecesOf } from "../../facts/boxes.ts";
import { supplierName } from "../../facts/catalogue.ts";
import { boxCaution } from "../../rules/boxes.ts";

const MOST_SUPPLIER = 60;
const MOST_CONTENTS = 160;

export function boxLabel(code: string): Label {
  const box = state.value.box.get(code);
  const pieces = piecesOf(code);
  const sealed = box?.sealed ?? null;
  const fields: Record<string, string | number> = {
    code,
    supplier: supplierName(box?.supplier ?? null).slice(0, MOST_SUPPLIER),
    purpose: box?.purpose ?? "recycling",
    count: sealed?.count ?? pieces.length,
    battery_caution: boxCaution(
      box?.purpose ?? null,
      pieces.map((p) => ({ ...p.thing, code: p.code })),
    ),
  };
  const contents = inWords(pieces.map((p) => p.thing.name ?? "part"));
  if (contents !== "") fields.contents = contents.slice(0, MOST_CONTENTS);
  if (sealed !== null) fields.weight_g = sealed.weight_g;
  return { kind: "box", fields, code };
}

/** Names with their number: "3 x Display, 1 x Battery". */
function inWords(names: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].map(([name, count]) => `${count} x ${name}`).join(", ");
}
