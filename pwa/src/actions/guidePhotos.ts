/** Photos of the newest procedures, fetched ahead: a step shows them at a bench without a network too. */
import { guidePhotos } from "../rules/procedure.ts";
import { keepSmall } from "../sync/photos.ts";
import { procedures } from "../views/catalogue.ts";

const held = new Set<string>();

/** Fetch what is not here yet. Called after documents came and after the server was reached. */
export async function fetchGuidePhotos(): Promise<void> {
  for (const hash of procedures().flatMap(guidePhotos)) {
    if (held.has(hash)) continue;
    held.add(hash);
    if (!(await keepSmall(hash))) held.delete(hash);
  }
}
