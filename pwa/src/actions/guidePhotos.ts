/** Photos of procedures, fetched ahead: a step shows them at a bench without a network too. */
import { state } from "../current.ts";
import { procedure, procedures } from "../facts/catalogue.ts";
import { guidePhotos } from "../rules/procedure.ts";
import { keepSmall } from "../sync/photos.ts";

const held = new Set<string>();

/** Fetch what is not here yet, of what the next job gets and of what jobs work by. Called after documents came and after the server was reached. */
export async function fetchGuidePhotos(): Promise<void> {
  const inWork = [...state.value.job.values()]
    .filter((job) => job.stage !== "handed_over")
    .flatMap((job) => procedure(job.procedure, job.revision) ?? []);
  for (const hash of [...procedures(), ...inWork].flatMap(guidePhotos)) {
    if (held.has(hash)) continue;
    held.add(hash);
    if (!(await keepSmall(hash))) held.delete(hash);
  }
}
