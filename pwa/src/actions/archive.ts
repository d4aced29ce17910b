/** Asking the server for what was put away. */
import { visit } from "../current.ts";
import { isShown } from "../facts/things.ts";
import { type Kept, readKept } from "../log/archive.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { askText } from "../sync/client.ts";
import { lookedAt, noteToAsk } from "../sync/earlier.ts";
import { countAndSync } from "../sync/loop.ts";

/** By the code of a job, a thing or a box, or by a job's ticket. */
export type Asked = { readonly code: string } | { readonly ticket: string };

/** The codes of the jobs that were found, newest first; they are shown like live ones from now on. `put-away-offline`. */
async function readArchive(asked: Record<string, string>): Promise<Result<readonly string[]>> {
  const answer = await askText("GET", `/api/archive?${new URLSearchParams(asked)}`);
  if (!answer.ok)
    return answer.problem === "offline" ? refuse("put-away-offline") : { ok: false, problem: answer.problem };
  const kept = readKept(answer.value);
  if (kept === null) return refuse("put-away-offline");
  visit(kept);
  return ok(jobsIn(kept));
}

/** The same for one code, which may be of a thing or a box. `not-found-anywhere`, `put-away-offline`. */
export async function readPutAway(asked: Asked): Promise<Result<string | null>> {
  const found = await readArchive(asked);
  if (!found.ok) return found;
  const isThere = found.value.length > 0 || ("code" in asked && isShown(asked.code));
  return isThere ? ok(found.value[0] ?? null) : refuse("not-found-anywhere");
}

/** Jobs that were put away, by part of a name, a number, an address or a model. `field-missing`, `put-away-offline`. */
export async function findPutAway(words: string): Promise<Result<readonly string[]>> {
  const text = words.trim();
  if (text.length < LEAST_LETTERS) return refuse("field-missing", `Write at least ${LEAST_LETTERS} characters.`);
  return readArchive({ words: text });
}
const LEAST_LETTERS = 3;

/** Devices whose earlier jobs were asked for since the page was opened. */
const asked = new Set<string>();

/** Earlier jobs of a device that comes to the counter, by its numbers, or by its old label alone. `put-away-offline`. */
export async function readEarlier(number: DeviceNumber): Promise<Result<readonly string[]>> {
  const found = await readArchive(askedBy(number));
  if (found.ok) asked.add(nameOf(number));
  return found;
}

/** After booking: have the server asked for earlier jobs as soon as there is a network, if that was not possible before. */
export async function askLater(job: string, number: DeviceNumber): Promise<void> {
  if (asked.has(nameOf(number)) || nameOf(number) === "") return;
  await noteToAsk({ job, query: String(new URLSearchParams(askedBy(number))) });
  countAndSync();
}

type DeviceNumber = { readonly imei: string; readonly serial: string; readonly device: string | null };
const nameOf = ({ imei, serial, device }: DeviceNumber): string => imei || serial || (device ?? "");
const askedBy = ({ imei, serial, device }: DeviceNumber): Record<string, string> =>
  imei === "" && serial === "" ? { code: device ?? "" } : { imei, serial };

/** Somebody at the counter has seen that a device was here before. */
export async function lookAtCameBack(job: string): Promise<Result<null>> {
  await lookedAt(job);
  return ok(null);
}

const jobsIn = ({ records }: Kept): readonly string[] =>
  records.filter((r) => r.collection === "job").map((r) => r.key);
