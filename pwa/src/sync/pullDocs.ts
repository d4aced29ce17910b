/** Fetching cards and documents (F7), and dropping what was erased for good. */
import { liveState, loseErased, takeDocs } from "../current.ts";
import type { Job } from "../fold/state.ts";
import { erased, isCard } from "../log/cards.ts";
import { type Doc, getMeta, type StationRow, type Stores, withDb, writing } from "../log/db.ts";
import { type ErasedKnown, forgetRevisions } from "../log/forgetPulled.ts";
import { tellTabs } from "../log/tabs.ts";
import { ask, type Halt } from "./client.ts";
import { forgetComplaints } from "./earlier.ts";
import { dropErased } from "./erased.ts";

type Answer = {
  readonly run: string;
  readonly reset: boolean;
  readonly rev: number;
  readonly last: number;
  readonly docs: readonly Doc[];
  readonly more: boolean;
};

/**
 * Pull changed cards and documents. A card that waits to be sent from here is not overwritten. What was erased is dropped
 * before it is noted that it was heard of, so that a page that is closed in between hears of it again.
 */
export async function pullDocs(): Promise<Halt | null> {
  for (;;) {
    const after = (await getMeta<number>("docs_rev")) ?? 0;
    const begun = (await getMeta<number>("docs_begun")) ?? 0;
    const run = (await getMeta<string>("docs_run")) ?? "";
    const query = new URLSearchParams({ after: `${after}`, erased_after: `${begun}`, run, limit: "500" });
    const answer = await ask<Answer | null>("GET", `/api/docs?${query}`);
    if (!answer.ok) return answer.problem;
    if (answer.value === null || (answer.value.reset && after === 0)) return "offline";
    if (answer.value.reset) {
      await forgetRevisions();
      continue;
    }
    const { docs, more } = answer.value;
    const gone = docs.filter((d) => d.body === null);
    if (!(await dropErased(gone.filter((d) => d.kind === "photo").map((d) => d.id)))) return "offline";
    await forgetComplaints(gone.map((d) => d.id));
    const held = await keep(answer.value, after);
    // Another tab forgot the shop meanwhile (F8.11): what this answer lacks is asked for again.
    if (held === null) continue;
    const { kept, waiting } = held;
    const lost = gone.map((d) => d.id).filter((id) => !waiting.has(id));
    loseErased(lost);
    takeDocs(kept.filter((d) => !waiting.has(d.id)));
    if (lost.length > 0) tellTabs({ erased: lost });
    if (kept.length > 0) tellTabs("docs");
    if (!more) return null;
  }
}

/** Keep them in the stores. Of what was erased only that which is held leaves a trace. Null when `after` holds no more. */
const keep = (answer: Answer, after: number) =>
  writing(["docs", "docsOut", "meta"], async (db) => {
    if (((await db.meta.read<number>("docs_rev")) ?? 0) !== after) return null;
    await offerKnown(db, answer);
    const due = await noteErased(db, answer.docs);
    // A station that holds nothing yet need not hear what was erased before.
    if (after === 0 && (await db.docs.count()) === 0) await db.meta.write("docs_begun", answer.last);
    const kept: Doc[] = [];
    for (const doc of answer.docs) {
      const held = doc.body === null ? await db.docs.get(doc.id) : undefined;
      // What is due to be erased again does not come back meanwhile.
      if (doc.body !== null && due.has(doc.id)) continue;
      if (doc.body !== null) kept.push(doc);
      else if (held !== undefined) kept.push(erased(held, doc));
    }
    await db.docs.putMany(kept);
    await db.meta.write("docs_rev", answer.rev);
    await db.meta.write("docs_run", answer.run);
    return { kept, waiting: new Set(await db.docsOut.keys()) };
  });

/** After a reset, what the server lacks or holds at an older revision is offered again, as events are (F7.11). */
async function offerKnown(db: Pick<Stores, "docs" | "docsOut" | "meta">, { docs, more }: Answer): Promise<void> {
  const known = await db.meta.read<Record<string, number>>("docs_known");
  if (known === undefined) return;
  const met = new Map(docs.map((d) => [d.id, d]));
  const left: Record<string, number> = {};
  for (const [id, knownRev] of Object.entries(known)) {
    const theirs = met.get(id);
    if (theirs === undefined && more) left[id] = knownRev;
    else if (theirs === undefined || (theirs.body !== null && theirs.rev < knownRev)) {
      const ours = await db.docs.get(id);
      if (ours?.body == null || (await db.docsOut.get(id)) !== undefined) continue;
      await db.docsOut.put(isCard(ours) ? { ...ours, rev: 0 } : { ...ours, rev: 0, base: theirs?.rev ?? null });
    }
  }
  if (more) await db.meta.write("docs_known", left);
  else await db.meta.delete("docs_known");
}

/** Where no backup is ever made. */
const MOST_ERASED = 1_000;

/** On a lead's station: what was erased is remembered until a good backup has that. What is still due to be erased again. */
async function noteErased(db: Pick<Stores, "meta">, docs: readonly Doc[]): Promise<ReadonlySet<string>> {
  const due = new Set(await db.meta.read<readonly string[]>("erased_due"));
  const gone = docs.filter((d) => d.body === null);
  if (gone.length === 0 || (await db.meta.read<StationRow>("station"))?.role !== "lead") return due;
  const known = await db.meta.read<ErasedKnown>("erased_known");
  const fresh = Object.fromEntries(gone.map((d): [string, readonly [string, number]] => [d.id, [d.kind, d.rev]]));
  const all = Object.entries({ ...known, ...fresh }).sort(([, [, a]], [, [, b]]) => b - a);
  await db.meta.write("erased_known", Object.fromEntries(all.slice(0, MOST_ERASED)));
  for (const { id } of gone) due.delete(id);
  if (due.size > 0) await db.meta.write("erased_due", [...due]);
  else await db.meta.delete("erased_due");
  return due;
}

/**
 * Cards that a live job names and this station has not: they came while nobody named them. Each is asked for once in a
 * page's life; a card that the server has not either comes with the documents.
 */
export async function pullLackingCards(): Promise<Halt | null> {
  const times = await getMeta<number>("times_forgotten");
  const held = new Set(await withDb((db) => db.docs.keys()));
  const waiting = new Set(await withDb((db) => db.docsOut.keys()));
  const lacking = cardsOf(liveState().job.values()).filter((id) => !held.has(id) && !waiting.has(id) && !asked.has(id));
  for (let from = 0; from < lacking.length; from += CARDS_AT_ONCE) {
    const ids = lacking.slice(from, from + CARDS_AT_ONCE);
    const answer = await ask<{ docs: Doc[] } | null>("GET", `/api/docs?ids=${ids.join(",")}`);
    if (!answer.ok) return answer.problem;
    if (answer.value === null) return "offline";
    const { docs } = answer.value;
    const isKept = await writing(["docs", "meta"], async (db) => {
      if ((await db.meta.read<number>("times_forgotten")) !== times) return false;
      await db.docs.putMany(docs);
      return true;
    });
    if (!isKept) return null;
    for (const id of ids) asked.add(id);
    takeDocs(docs);
    if (docs.length > 0) tellTabs("docs");
  }
  return null;
}
const CARDS_AT_ONCE = 200;
const asked = new Set<string>();

export const cardsOf = (jobs: Iterable<Job>): readonly string[] =>
  [...jobs].flatMap((job) => [job.card, job.contact]).filter((id) => id !== null);
