/** Sending cards and documents written here. */
import { loseErased, takeDocs } from "../current.ts";
import { type Doc, withDb, writing } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ask, type Halt, isBlocking } from "./client.ts";

/** One that the server refuses does not hold up the others. Null when all were accepted, else why not. */
export async function pushDocs(): Promise<Halt | null> {
  let told: Halt | null = null;
  for (const doc of await withDb((db) => db.docsOut.all())) {
    const sent = { kind: doc.kind, body: doc.body, ...(doc.base === undefined ? {} : { base_rev: doc.base }) };
    const answer = await ask<Doc>("PUT", `/api/docs/${doc.id}`, sent);
    const slug = answer.ok || answer.problem === "offline" ? null : answer.problem.slug;
    const gone = slug === "doc-erased";
    // Somebody has written it since the server was restored: that stands.
    if (doc.base !== undefined && (slug === "doc-changed" || slug === "revision-stands")) {
      await letStand(doc.id);
      continue;
    }
    if (!answer.ok && !gone) {
      if (isBlocking(answer.problem)) return answer.problem;
      told ??= answer.problem;
      continue;
    }
    if (answer.ok && answer.value?.id !== doc.id) return "offline";
    const rev = answer.ok ? answer.value.rev : null;
    await writing(["docs", "docsOut"], async (db) => {
      const still = await db.docsOut.get(doc.id);
      if (still === undefined || JSON.stringify(still.body) !== JSON.stringify(doc.body)) return;
      await db.docsOut.delete(doc.id);
      // It comes back with a pull only once a job on the server names it.
      const { base: _, ...kept } = doc;
      if (rev !== null) await db.docs.put({ ...kept, rev });
    });
    if (gone) {
      loseErased([doc.id]);
      tellTabs("docs");
    }
  }
  return told;
}

async function letStand(id: string): Promise<void> {
  const theirs = await writing(["docs", "docsOut"], async (db) => {
    await db.docsOut.delete(id);
    return db.docs.get(id);
  });
  if (theirs !== undefined) takeDocs([theirs]);
}
