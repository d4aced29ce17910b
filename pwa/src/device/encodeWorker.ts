/** The worker of encode.ts. */
import { encoded, type Order } from "./encoding.ts";

addEventListener("message", async ({ data }: MessageEvent<{ readonly id: number; readonly order: Order }>) => {
  const made = await encoded(data.order, async (bitmap, width, height, quality) => {
    const canvas = new OffscreenCanvas(width, height);
    canvas.getContext("2d")?.drawImage(bitmap, 0, 0, width, height);
    return canvas.convertToBlob({ type: "image/jpeg", quality });
  });
  postMessage({ id: data.id, made });
});
