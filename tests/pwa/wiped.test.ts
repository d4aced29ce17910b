/** log/wipe.ts: what a station keeps that was taken out of the shop. */
import "fake-indexeddb/auto";
import { actAs, writeCard } from "@pwa/actions/act.ts";
import { unsentFile } from "@pwa/actions/rescue.ts";
import { load, ownOnTop, pulledSeq, state } from "@pwa/current.ts";
import { getMeta, type StationRow, withDb } from "@pwa/log/db.ts";
import { wipe } from "@pwa/log/wipe.ts";
import { syncRound } from "@pwa/sync/round.ts";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { type Fake, joinedToFake } from "./syncServer.ts";

const JOB = "J7K200003Z";
let server: Fake;
beforeEach(async () => {
  server = await joinedToFake();
});
afterEach(() => {
  vi.unstubAllGlobals();
});

const note = (text: string) => actAs("W0A1", () => [{ kind: "note.added", job: JOB, body: { note: text } }]);
const everything = async (): Promise<string> =>
  JSON.stringify(await withDb((db) => Promise.all(Object.values(db).map((store) => store.all()))));

const withoutTime = (file: Awaited<ReturnType<typeof unsentFile>>): string =>
  file.ok ? file.value.text.replace(/"written_at_ms":[0-9]+/, "") : file.problem.slug;

test("it forgets the shop, and keeps what the server has not got so that it can be saved and sent", async () => {
  await note("confirmed");
  await writeCard("c".repeat(20), "contact", { name: "Ilse Marrow" });
  expect(await syncRound(() => 5_000, [])).toBeNull();
  await note("not sent");
  await writeCard("d".repeat(20), "contact", { name: "Tamsel Orrow" });
  const file = await unsentFile();
  expect(await wipe(pulledSeq)).toBe(true);
  await load();

  const left = await everything();
  expect([left.includes("confirmed"), left.includes("Ilse Marrow")]).toEqual([false, false]);
  expect([left.includes("not sent"), left.includes("Tamsel Orrow")]).toEqual([true, true]);
  expect(state.value.job.get(JOB)?.notes.map((n) => n.note)).toEqual(["not sent"]);
  expect(ownOnTop.value.length).toBe(1);
  // The file that was to be saved says the same as before: what is not sent still follows the last confirmed entry.
  const after = await unsentFile();
  expect(withoutTime(after)).toBe(withoutTime(file));
  expect((await getMeta<StationRow>("station"))?.station).toBe("S7K2");
  expect(await wipe(pulledSeq)).toBe(false);
});

test("taken in again, it sends what it had kept", async () => {
  await note("confirmed");
  expect(await syncRound(() => 5_000, [])).toBeNull();
  await note("not sent");
  await wipe(pulledSeq);
  await load();
  expect(await syncRound(() => 5_000, [])).toBeNull();
  expect(server.notes()).toEqual(["confirmed", "not sent"]);
  expect(state.value.job.get(JOB)?.notes.map((n) => n.note)).toEqual(["confirmed", "not sent"]);
});
