/** The pixels of a photo, as 8-bit sRGB: the kept copy, else the server's. The photo itself stays as it is. */
import { ok, type Result, refuse } from "../problem.ts";
import { keptHere } from "./photo.ts";

export type Decoded = {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;
  /** For showing exactly the picture that was decoded. */
  readonly picture: Blob;
};

/** `photo-away` when it is neither here nor can be fetched, `blob-not-image` when it cannot be drawn. */
export async function decodePhoto(hash: string): Promise<Result<Decoded>> {
  const picture = (await keptPhoto(hash)) ?? (await fetchedPhoto(hash));
  if (picture === null) return refuse("photo-away");
  const bitmap = await createImageBitmap(picture).catch(() => null);
  if (bitmap === null) return refuse("blob-not-image");
  const { width, height } = bitmap;
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const pen = canvas.getContext("2d", { colorSpace: "srgb", willReadFrequently: true });
  pen?.drawImage(bitmap, 0, 0);
  bitmap.close();
  const drawn = pen?.getImageData(0, 0, width, height, { colorSpace: "srgb" });
  return drawn === undefined ? refuse("blob-not-image") : ok({ width, height, data: drawn.data, picture });
}

async function keptPhoto(hash: string): Promise<Blob | null> {
  const kept = await keptHere(hash);
  return kept === undefined ? null : new Blob([kept.bytes], { type: kept.type });
}

async function fetchedPhoto(hash: string): Promise<Blob | null> {
  const answer = await fetch(`/api/blobs/${hash}`).catch(() => null);
  return answer?.ok === true ? answer.blob() : null;
}
