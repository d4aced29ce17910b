/** Devices that were booked in while the server could not be asked for earlier jobs: it is asked once it can. */
import type { TextBody } from "../events/texts.ts";
import { type Kept, readKept } from "../log/archive.ts";
import { getMeta, writing } from "../log/db.ts";
import { askText, type Halt } from "./client.ts";
import { type CameBack, cameBack } from "./status.ts";

type ToAsk = { readonly job: string; readonly query: string };

/** Read what the counter has not looked at yet. */
export const loadCameBack = async (): Promise<void> => {
  cameBack.value = (await getMeta<readonly CameBack[]>("came_back")) ?? [];
};

/** Remember that the server could not be asked for earlier jobs of this job's device. */
export const noteToAsk = (one: ToAsk): Promise<void> =>
  writing(["meta"], async (db) => {
    const before = (await db.meta.read<readonly ToAsk[]>("to_ask")) ?? [];
    await db.meta.write("to_ask", [...before, one]);
  });

/** Ask for what was noted. */
export async function askEarlier(): Promise<Halt | null> {
  for (const one of (await getMeta<readonly ToAsk[]>("to_ask")) ?? []) {
    const answer = await askText("GET", `/api/archive?${one.query}`);
    if (!answer.ok) return answer.problem;
    const kept = readKept(answer.value);
    if (kept === null) return "offline";
    const found = cameBackIn(kept, one.job);
    await writing(["meta"], async (db) => {
      const open = (await db.meta.read<readonly ToAsk[]>("to_ask")) ?? [];
      await db.meta.write(
        "to_ask",
        open.filter((o) => o.job !== one.job),
      );
      const before = (await db.meta.read<readonly CameBack[]>("came_back")) ?? [];
      await db.meta.write("came_back", [...before, ...found]);
    });
    await loadCameBack();
  }
  return null;
}

/** The newest of the earlier jobs, with what was wrong then. */
function cameBackIn({ records, docs }: Kept, job: string): readonly CameBack[] {
  const earlier = records.find((r) => r.collection === "job");
  if (earlier === undefined) return [];
  const { complaint: text = null } = earlier.record as { readonly complaint?: string | null };
  const body = docs.find((doc) => doc.id === text)?.body as TextBody | null | undefined;
  return [{ job, earlier: earlier.key, complaint: body?.text ?? "", text }];
}

/** Texts that were erased for good: no words of theirs stay here. */
export async function forgetComplaints(texts: readonly string[]): Promise<void> {
  const isErased = ({ text }: CameBack): boolean => text !== null && texts.includes(text);
  if (!((await getMeta<readonly CameBack[]>("came_back")) ?? []).some(isErased)) return;
  await writing(["meta"], async (db) => {
    const before = (await db.meta.read<readonly CameBack[]>("came_back")) ?? [];
    await db.meta.write(
      "came_back",
      before.map((one) => (isErased(one) ? { ...one, complaint: "" } : one)),
    );
  });
  await loadCameBack();
}

/** The counter has looked at it. */
export async function lookedAt(job: string): Promise<void> {
  await writing(["meta"], async (db) => {
    const before = (await db.meta.read<readonly CameBack[]>("came_back")) ?? [];
    await db.meta.write(
      "came_back",
      before.filter((c) => c.job !== job),
    );
  });
  await loadCameBack();
}
