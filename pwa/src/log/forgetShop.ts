/** Forgetting what this station holds of the shop, after a long silence or once it was taken out (F8.11). */
import { CARD_KINDS } from "./cards.ts";
import { getMeta, type OwnEvent, putMeta, type StationRow, type Stores, writing } from "./db.ts";
import { forgetOwn } from "./forgetOwn.ts";
import { afterSeq, chainNames } from "./own.ts";
import { forgetPictures } from "./pictures.ts";
import { PULLED_TO } from "./pulled.ts";
import type { Forgot } from "./silence.ts";
import { tellTabs } from "./tabs.ts";

/** What `meta` says of the shop beside what was pulled. */
const OF_THE_SHOP = [
  ...PULLED_TO,
  "docs_known",
  "erased_known",
  "erased_due",
  "sent_bytes",
  "signed_on",
  "came_back",
  "backed_up_ms",
  "backed_up_rev",
];
const STORES = ["own", "records", "chunks", "docs", "docsOut", "photosSent", "toPrint", "meta"] as const;
const NOTED_EVERY_MS = 3_600_000;

/**
 * All of it or nothing, and harmless to repeat. What was not sent stays: entries, cards, photos; and drafts, which are work
 * that nobody else has. Pictures are in another storage and go after it: a start forgets again until the shop is here anew,
 * so a page that was closed in between leaves none for long.
 */
export async function forgetShop(forgot: Forgot): Promise<void> {
  await writing(STORES, async (db) => {
    const row = await db.meta.read<StationRow>("station");
    const sent = new Map<string, number>();
    const unsent: OwnEvent[] = [];
    for (const incarnation of await chainNames(db)) {
      const upTo = await sentUpTo(db, row, incarnation);
      sent.set(incarnation, upTo);
      unsent.push(...(await db.own.all(afterSeq(incarnation, upTo))));
    }
    await sendCardsAgain(db, unsent);
    await forgetOwn(db, (incarnation) => sent.get(incarnation) ?? 0);
    await Promise.all([
      ...[db.records, db.chunks, db.docs, db.photosSent, db.toPrint].map((store) => store.clear()),
      db.meta.deleteMany(OF_THE_SHOP),
    ]);
    await askOnlyOf(db, unsent);
    await db.meta.write("forgot", forgot);
    await db.meta.write("times_forgotten", ((await db.meta.read<number>("times_forgotten")) ?? 0) + 1);
  });
  await forgetPictures();
  tellTabs("pulled");
}

/** The server answered well. Noted at most once an hour. */
export async function noteReached(nowMs: number): Promise<void> {
  const noted = await getMeta<number>("reached_ms");
  if (noted === undefined || Math.abs(nowMs - noted) >= NOTED_EVERY_MS) await putMeta("reached_ms", nowMs);
}

/** Up to where the server has a chain, or where it was written again in a later one. */
async function sentUpTo(
  db: Pick<Stores, "own" | "records">,
  row: StationRow | undefined,
  incarnation: string,
): Promise<number> {
  if (incarnation === row?.incarnation) return row.acked;
  const chain = (await db.records.get(["chain", incarnation]))?.record as { readonly seq?: number } | undefined;
  const above = await db.own.all(afterSeq(incarnation, chain?.seq ?? 0));
  const open = above.find((own) => own.void === 0 && own.text !== "");
  return open === undefined ? Number.MAX_SAFE_INTEGER : open.seq - 1;
}

/**
 * Cards go to the server before the entry that names them, and it drops what nothing has named for long (F7.10). So those
 * that only unsent entries name are sent once more.
 */
async function sendCardsAgain(
  db: Pick<Stores, "docs" | "docsOut" | "records">,
  unsent: readonly OwnEvent[],
): Promise<void> {
  const ids = new Set(unsent.flatMap((own) => own.text.match(A_CARD) ?? []));
  if (ids.size === 0) return;
  const jobs = await db.records.all(IDBKeyRange.bound(["job", ""], ["job", "\uffff"]));
  const known = new Set(
    jobs.flatMap(({ record }) => {
      const { card, contact } = record as { readonly card?: string | null; readonly contact?: string | null };
      return [card, contact];
    }),
  );
  for (const id of ids) {
    const doc = await db.docs.get(id);
    if (doc?.body == null || !CARD_KINDS.some((kind) => kind === doc.kind) || known.has(id)) continue;
    if ((await db.docsOut.get(id)) === undefined) await db.docsOut.put({ ...doc, rev: 0 });
  }
}
/** The id of a text, or the ref of another card; what else looks like one names no card. */
const A_CARD = /[0-9A-Za-z]{20,64}/g;

/** Devices of which the server is still to be asked: those of jobs that only this station knows. */
async function askOnlyOf(db: Pick<Stores, "meta">, unsent: readonly OwnEvent[]): Promise<void> {
  const open = (await db.meta.read<readonly { readonly job: string }[]>("to_ask")) ?? [];
  if (open.length === 0) return;
  await db.meta.write(
    "to_ask",
    open.filter(({ job }) => unsent.some((own) => own.text.includes(job))),
  );
}
