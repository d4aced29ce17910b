/** Labels: drawn by the server, printed here; without a network they wait in a list and are written by hand meanwhile. */
import { nowMs } from "../device/clock.ts";
import { printPictures, printShown, saveFile } from "../device/paper.ts";
import { getMeta, putMeta, type ToPrint, withDb } from "../log/db.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { askBlob, asResult } from "../sync/client.ts";

export type LabelKind = "ticket" | "device" | "tray" | "part" | "core" | "box" | "badge";
export type Label = {
  readonly kind: LabelKind;
  /** As shared/labels.json names them for this kind. */
  readonly fields: Readonly<Record<string, string | number>>;
  /** What a person writes by hand when there is no printer: the code. */
  readonly code: string;
};

/** Dots per inch: 8 a millimetre is what most label printers have (common practice, no source). */
export const DPI_CHOICES = [203, 300, 600] as const;
const DPI_FIRST = 203;

export const labelDpi = async (): Promise<number> => (await getMeta<number>("label_dpi")) ?? DPI_FIRST;
export const setLabelDpi = (dpi: number): Promise<void> => putMeta("label_dpi", dpi);

/**
 * Draw labels and open the print dialog, one label a page. Without a network the labels are kept for later:
 * `print-offline`. Other problems are the server's own, such as `label-field`.
 */
export async function printLabels(labels: readonly Label[]): Promise<Result<null>> {
  const dpi = await labelDpi();
  const pictures: Blob[] = [];
  for (const label of labels) {
    const picture = await draw(label, dpi, "png");
    if (!picture.ok) {
      if (picture.problem.slug === "print-offline") await keepToPrint(labels);
      return picture;
    }
    pictures.push(picture.value);
  }
  if (!(await printPictures(pictures, dpi))) return refuse("internal", "The label that came back is no picture.");
  await forgetToPrint(labels);
  return ok(null);
}

/** One label as a PDF file at true size, for a printer that this browser does not reach. */
export async function saveLabel(label: Label): Promise<Result<null>> {
  const file = await draw(label, await labelDpi(), "pdf");
  if (!file.ok) return file;
  saveFile(file.value, `${label.kind}-${label.code}.pdf`);
  return ok(null);
}

/** Print the screen as it is, such as a repair record. */
export const printPage = (): void => printShown();

/** Labels that wait for the network, oldest first. */
export async function waitingLabels(): Promise<readonly Label[]> {
  const rows = await withDb((db) => db.toPrint.all());
  return [...rows].sort((a, b) => a.at_ms - b.at_ms).map(fromRow);
}

/** Keep labels for later. The same label twice is one. */
export const keepToPrint = (labels: readonly Label[]): Promise<void> =>
  withDb((db) => db.toPrint.putMany(labels.map(toRow)));

export const forgetToPrint = (labels: readonly Label[]): Promise<void> =>
  withDb((db) => db.toPrint.deleteMany(labels.map(rowId)));

async function draw(label: Label, dpi: number, format: "png" | "pdf"): Promise<Result<Blob>> {
  const { kind, fields } = label;
  return asResult(await askBlob("POST", "/api/labels", { kind, fields, dpi, format }), { slug: "print-offline" });
}

const rowId = (label: Label): string => `${label.kind}:${label.code}`;
const toRow = (label: Label): ToPrint => ({ id: rowId(label), kind: label.kind, fields: label.fields, at_ms: nowMs() });
const fromRow = (row: ToPrint): Label => {
  const [kind, code] = row.id.split(":");
  return { kind: kind as LabelKind, fields: row.fields, code: code ?? "" };
};
