/** Devices that were booked in while the server could not be asked for earlier jobs: it is asked once it can. */
import { readKept } from "../log/archive.ts";
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
    const earlier = kept.records.find((r) => r.collection === "job");
    const { complaint = "" } = (earlier?.record ?? {}) as { readonly complaint?: string };
    const found = earlier === undefined ? [] : [{ job: one.job, earlier: earlier.key, complaint }];
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
