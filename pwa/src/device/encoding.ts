/** What the page and its worker share for redrawing a picture. */

export type Order = { readonly picture: Blob | ImageBitmap; readonly most: number; readonly quality: number };
export type Encoded = { readonly bytes: ArrayBuffer; readonly width: number; readonly height: number };

type Draw = (bitmap: ImageBitmap, width: number, height: number, quality: number) => Promise<Blob | null>;

/** Null when it is no picture. */
export async function encoded({ picture, most, quality }: Order, draw: Draw): Promise<Encoded | null> {
  const bitmap = await createImageBitmap(picture, { imageOrientation: "from-image" }).catch(() => null);
  if (bitmap === null) return null;
  const scale = Math.min(1, most / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const blob = await draw(bitmap, width, height, quality).catch(() => null);
  bitmap.close();
  return blob === null ? null : { bytes: await blob.arrayBuffer(), width, height };
}
