/** Sending all own events: where it can, the station repairs by itself what made the server refuse (F3.4, F4.4). */
import { pulledSeq } from "../current.ts";
import type { OwnEvent } from "../log/db.ts";
import { ownAfter } from "../log/own.ts";
import { ask, type Halt } from "./client.ts";
import { pullEvents } from "./pull.ts";
import { bytesOf, pushEvents, type Refused, Run, stationOf } from "./push.ts";
import { renew } from "./renew.ts";

/** Null when the server holds all own events, else why not. */
export async function sendEvents(nowMs: () => number): Promise<Halt | null> {
  const run = new Run();
  for (;;) {
    const refused = await pushEvents(run);
    if (refused === null || refused === "offline") return refused;
    const halt = await mend(run, refused, nowMs);
    if (halt !== null) return halt;
  }
}

type Remedy =
  /** Send fewer bytes at once. */
  | { readonly how: "less"; readonly mostBytes: number }
  /** The server holds the chain only up to here, or where the chains part is to be found from here. */
  | { readonly how: "from"; readonly seq: number }
  /** Continue in a new chain. `held` is how far the server has the old one; null when only its log can tell. */
  | { readonly how: "renew"; readonly reason: "forked" | "restored"; readonly held: number | null };

/** Null when sending may continue, else why it ends here. */
async function mend(run: Run, refused: Refused, nowMs: () => number): Promise<Halt | null> {
  const { row, batch, problem } = refused;
  const remedy = await remedyFor(run, refused);
  if (remedy === null) return problem;
  if (remedy.how === "less") run.mostBytes = remedy.mostBytes;
  else if (remedy.how === "from") await run.mark(row, batch[0].incarnation, remedy.seq);
  else return renewed(run, refused, remedy, nowMs);
  return null;
}

/** Null when the station cannot repair it. */
async function remedyFor(run: Run, { row, batch, problem }: Refused): Promise<Remedy | null> {
  const { incarnation, seq } = batch[0];
  switch (problem.slug) {
    case "body-too-large":
      // A proxy in between accepts less than the format allows.
      return batch.length === 1 ? null : { how: "less", mostBytes: Math.floor(bytesOf(batch) / 2) };
    case "chain-gap": {
      const expected = Number(problem.extra?.expected_seq ?? seq);
      if (expected >= seq) return null;
      // An older backup was restored than the last one: what lies between is not here any more.
      const isHere = (await firstAfter(incarnation, expected - 1)) === expected;
      return isHere ? { how: "from", seq: expected - 1 } : { how: "renew", reason: "restored", held: seq - 1 };
    }
    case "chain-fork": {
      const at = Number(problem.extra?.seq ?? seq);
      if (at !== seq || seq === 1 || run.searched.has(incarnation))
        return { how: "renew", reason: "forked", held: at - 1 };
      // The chains differ here or earlier: offer what was confirmed too, and the server says where.
      run.searched.add(incarnation);
      return { how: "from", seq: 0 };
    }
    case "chain-mismatch":
      // A chain of another station begins with another hash: this browser may have become another station since.
      return (await isAnother(row.station, batch[0])) ? { how: "renew", reason: "restored", held: null } : null;
    case "incarnation-unknown":
      return { how: "renew", reason: "restored", held: null };
    default:
      return null;
  }
}

/** Only what the log really lacks may be written again, or it would count twice: so the log is pulled first. */
async function renewed(
  run: Run,
  { row, batch, problem }: Refused,
  { reason, held }: Remedy & { readonly how: "renew" },
  nowMs: () => number,
): Promise<Halt | null> {
  const { incarnation } = batch[0];
  if (held !== null) await run.mark(row, incarnation, held);
  const behind = await pullEvents(nowMs);
  if (behind !== null) return behind;
  if (held === null) await run.mark(row, incarnation, pulledSeq(incarnation));
  const older = await run.olderMissing(row);
  if (incarnation !== row.incarnation && !older.some((e) => e.incarnation === incarnation)) return null;
  if (run.renewed) return problem;
  run.renewed = true;
  return renew(reason, nowMs(), older);
}

const firstAfter = async (incarnation: string, seq: number): Promise<number | undefined> =>
  (await ownAfter(incarnation, seq, 2))[0]?.seq;

/** Whether an event is of another station than the one the server takes this browser for. */
async function isAnother(station: string, event: OwnEvent): Promise<boolean> {
  const wrote = stationOf(event);
  if (wrote !== station) return true;
  const server = await ask<{ readonly station: string } | null>("GET", "/api/station");
  return server.ok && server.value !== null && server.value.station !== wrote;
}
