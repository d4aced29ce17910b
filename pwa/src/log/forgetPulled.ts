/** What a station does when what it pulled is not the server's any more. */
import { allCards } from "./cards.ts";
import { type StationRow, type Stores, writing } from "./db.ts";
import { DOCS_TO, PULLED_TO } from "./pulled.ts";

/** In `meta`, until a good backup has them: what a lead's station heard was erased for good, with kind and revision. */
export type ErasedKnown = Readonly<Record<string, readonly [kind: string, rev: number]>>;

/** Forget the pulled log: the server has another epoch (F4.4). Own events stay. */
export const forgetPulled = (): Promise<void> =>
  writing(["chunks", "records", "docs", "meta"], async (db) => {
    await noteKnown(db);
    await db.chunks.clear();
    await db.records.clear();
    await db.meta.deleteMany(PULLED_TO);
    await db.meta.write("times_forgotten", ((await db.meta.read<number>("times_forgotten")) ?? 0) + 1);
  });

/** Have all cards and documents told again: the server's revisions are not those that this station was told (F8.4). */
export const forgetRevisions = (): Promise<void> =>
  writing(["docs", "meta"], async (db) => {
    await noteKnown(db);
    await db.meta.deleteMany(DOCS_TO);
  });

/** Write down what this station knew, so that it can offer what the server turns out to lack (F7.11). */
async function noteKnown(db: Pick<Stores, "docs" | "meta">): Promise<void> {
  const isLead = (await db.meta.read<StationRow>("station"))?.role === "lead";
  const held = isLead ? (await db.docs.all()).filter((d) => d.kind !== "station") : await allCards(db);
  const known = await db.meta.read<Record<string, number>>("docs_known");
  await db.meta.write("docs_known", { ...known, ...Object.fromEntries(held.map((d) => [d.id, d.rev])) });
  const erased = await db.meta.read<ErasedKnown>("erased_known");
  if (isLead && erased !== undefined) await db.meta.write("erased_due", Object.keys(erased));
}
