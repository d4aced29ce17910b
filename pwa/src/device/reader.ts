/**
 * Finding codes in a camera's picture. Most pictures show none, so one look must cost little: it takes half the picture's
 * sharpness, or only its middle. What one look passes over, another of the round finds; a round takes about a second.
 */
import type { ReaderOptions } from "zxing-wasm/reader";

/** The codes in a picture of this size. The reader itself chooses the look. */
export type Reader = (picture: CanvasImageSource, width: number, height: number) => Promise<readonly string[]>;

type Look = {
  /** The whole picture at half its size, or its middle at full sharpness. */
  readonly at: "whole" | "middle";
  readonly options: ReaderOptions;
};

/** Square codes: our labels, and what suppliers print on small parts. */
const LABEL = "QRCode";
const DOTTED = "DataMatrix";
/** On devices and on suppliers' parts. */
const BARS = ["Code128", "Code39", "EAN13"] as const;

const QUICK = { tryHarder: false, tryRotate: true, tryInvert: false, tryDownscale: false, textMode: "Plain" } as const;

/** A code of usual size, wherever it is. */
const NEAR: Look = { at: "whole", options: { ...QUICK, formats: [LABEL, ...BARS] } };
/** A small code, which people hold in the middle. */
const SMALL: Look = { at: "middle", options: { ...QUICK, formats: [LABEL, ...BARS] } };
/** Square codes of dots, or light on dark. */
const DOTS: Look = {
  at: "middle",
  options: { ...QUICK, tryHarder: true, tryInvert: true, formats: [LABEL, DOTTED] },
};
/** Bars that are blurred or damaged. */
const POOR: Look = { at: "middle", options: { ...QUICK, tryHarder: true, formats: [...BARS] } };

const ROUND = [NEAR, SMALL, NEAR, DOTS, NEAR, SMALL, NEAR, POOR] as const;

/** Dots of the whole's longer side, and of the middle's two: a bar code too long for the middle is sharp enough halved. */
const WHOLE = 640;
const MIDDLE = 512;

/** The reading program, from our own origin. */
export async function loadEngine(): Promise<typeof import("zxing-wasm/reader").readBarcodes> {
  const [{ prepareZXingModule, readBarcodes }, wasm] = await Promise.all([
    import("zxing-wasm/reader"),
    import("zxing-wasm/reader/zxing_reader.wasm?url"),
  ]);
  await prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) => (path.endsWith(".wasm") ? wasm.default : prefix + path),
    },
    fireImmediately: true,
  });
  return readBarcodes;
}

export async function loadReader(): Promise<Reader> {
  const readBarcodes = await loadEngine();
  const canvas = Object.assign(document.createElement("canvas"), { width: WHOLE, height: WHOLE });
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (pen === null) throw new Error("no canvas");
  let turn = 0;
  return async (picture, width, height) => {
    const look = ROUND[turn++ % ROUND.length] ?? NEAR;
    const wide = look.at === "whole" ? width : Math.min(width, MIDDLE);
    const high = look.at === "whole" ? height : Math.min(height, MIDDLE);
    const scale = Math.min(1, WHOLE / Math.max(wide, high));
    const [w, h] = [Math.round(wide * scale), Math.round(high * scale)];
    pen.drawImage(picture, (width - wide) / 2, (height - high) / 2, wide, high, 0, 0, w, h);
    const found = await readBarcodes(pen.getImageData(0, 0, w, h), look.options);
    return found.map((code) => code.text);
  };
}
