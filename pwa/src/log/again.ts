/** Starting over in a new chain, with what the server has not got of the old one. */
import { type Event, isEvent, parse } from "../events/envelope.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { linked, type NewEvent } from "./append.ts";
import { getMeta, type OwnEvent, type StationRow, writing } from "./db.ts";
import { firstRow, type Identity, ownAfter } from "./own.ts";
import { alone, tellTabs } from "./tabs.ts";

/**
 * Start a new chain (F3.1) and write again in it what the server has not acknowledged of the old one, after what it
 * lacks of `older` chains.
 */
export async function beginAgain(
  given: Partial<Identity> & Pick<StationRow, "incarnation">,
  reason: "restored" | "forked",
  nowMs: number,
  older: readonly OwnEvent[] = [],
): Promise<Result<StationRow>> {
  return alone(async () => {
    const old = await getMeta<StationRow>("station");
    if (old === undefined) return refuse("station-unknown");
    const unsent = [...older, ...(await ownAfter(old.incarnation, old.acked))].map((row) => ({
      row,
      event: parse(row.text),
    }));
    const { incarnation } = given;
    const fresh = await firstRow({ ...old, ...given });
    const began = {
      kind: "station.began" as const,
      body: { reason, old_incarnation: old.incarnation, old_seq: old.seq, old_head: old.head },
    };
    const renamed = new Map<string, string>();
    unsent.forEach(({ row }, index) => {
      renamed.set(`${row.incarnation}.${row.seq}`, `${incarnation}.${index + 2}`);
    });
    const start = await linked(fresh, null, nowMs, [began]);
    const rows = [...start.rows];
    let end = start.end;
    for (const { row, event } of unsent) {
      if (!isEvent(event)) throw new Error(`unsound event of our own: ${row.text}`);
      const body = renameEvents(event.body, renamed);
      const next = await linked({ ...fresh, ...end }, event.staff, event.at_ms, [
        { kind: event.kind, job: event.job, body } as unknown as NewEvent,
      ]);
      rows.push(...next.rows);
      end = next.end;
    }
    const after = { ...fresh, ...end };
    await writing(
      ["own", "meta"],
      async (db) => {
        await db.own.putMany(unsent.map(({ row }) => ({ ...row, void: 1 as const })));
        await db.own.addMany(rows);
        await db.meta.write("station", after);
      },
      "once",
    );
    tellTabs("own");
    return ok(after);
  });
}

function renameEvents(body: Event["body"], renamed: ReadonlyMap<string, string>): Record<string, unknown> {
  const after = body.after;
  if (!Array.isArray(after)) return { ...body };
  return { ...body, after: after.map((id: string) => renamed.get(id) ?? id) };
}
