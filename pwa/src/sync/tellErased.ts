/** Having the server erase again what it does not know was erased, since an older copy of its data was restored (F7.11). */

import { getMeta, writing } from "../log/db.ts";
import type { ErasedKnown } from "../log/forgetPulled.ts";
import { ask, type Halt, isBlocking } from "./client.ts";

const MOST = 500;

/** Once all documents were told again, and only then is it known what is due. Harmless to repeat. */
export async function tellErased(): Promise<Halt | null> {
  const due = await getMeta<readonly string[]>("erased_due");
  if (due === undefined || (await getMeta("docs_known")) !== undefined) return null;
  const known = (await getMeta<ErasedKnown>("erased_known")) ?? {};
  const ids = due.flatMap((id) => (known[id] === undefined ? [] : [[id, known[id][0]]]));
  for (let from = 0; from < ids.length; from += MOST) {
    const answer = await ask("POST", "/api/erased", { ids: ids.slice(from, from + MOST) });
    // A station that is no lead's any more has no say in it.
    if (!answer.ok && (answer.problem === "offline" || isBlocking(answer.problem))) return answer.problem;
  }
  await writing(["meta"], (db) => db.meta.delete("erased_due"));
  return null;
}
